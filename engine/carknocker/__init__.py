"""carknocker: may this heritage passenger car travel on this move, and if not, why not yet?"""

__version__ = "0.1.0"

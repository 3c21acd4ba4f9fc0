"""Names of the vocabulary that the program itself has to know, because it draws, writes or computes something with
them that no key of the data expresses. The inputs of derived figures are named in the room `workings`.
"""

WHEELSET, WHEEL, BEARING, AXLE = "wheelset", "wheel", "bearing", "axle"
TRUCK, AXLE_POSITION, BOX = "truck", "axle position", "box"
COUPLER, HAND_BRAKE = "coupler", "hand brake"
WHEELSET_KINDS = (WHEELSET, WHEEL, BEARING, AXLE)
"""A wheelset and what travels with it."""
TRAIN = "train"
MOVE_KINDS = ("move", TRAIN, "leg")
"""What is no part of the car."""

# The car, its weights and its lift.
LENGTH_OVER_COUPLERS = "length_over_couplers"
TRUCK_CENTERS = "truck_centers"
EXTREME_WIDTH = "extreme_width"
HEIGHT_OVER_RAIL = "height_over_rail"
LOWEST_PART_OVER_RAIL = "lowest_part_over_rail"
WIDEST_THING = "widest_thing"
HIGHEST_THING = "highest_thing"
LOWEST_PART = "lowest_part"
COUPLER_HEIGHT = "coupler_height"
NUMBERING_SCHEME = "numbering_scheme"
GROSS_WEIGHT = "gross_weight"
SPARE_WHEELSET_ABOARD = "spare_wheelset_aboard"
GROSS_WEIGHT_ESTIMATED = "gross_weight_estimated"
TRUCK_WEIGHT = "truck_weight"
LIFTING_POINT_RATING = "lifting_point_rating"
LIFTING_POINTS_RATED_BY = "lifting_points_rated_by"
LOWEST_PART_OUTBOARD_OF_TRUCK = "lowest_part_outboard_of_truck"
FAR_END_LOWEST_THING = "far_end_lowest_thing"
BUILT_ON = "built_on"
CONTACT_CARD = "contact_card"
LUBRICANT_APPROVAL = "lubricant_approval"

# Trucks and brakes.
AXLE_SPACING = "axle_spacing"
TAKES_JOURNAL_CENTERS = "takes_journal_centers"
STANDARD_JOURNAL_CENTERS = "standard_journal_centers"
STANDARD_JOURNAL_CENTERS_BY = "standard_journal_centers_by"
SPREAD_IN_DIAMETER = "spread_in_diameter"
MIDDLE_AXLE_STEP = "middle_axle_step"
ACTS_ON = "acts_on"

# Wheelsets, wheels and bearings.
BACK_TO_BACK = "back_to_back"
MOUNTED_ON = "mounted_on"
MATE_DIFFERENCE = "mate_difference"
MATE_DIFFERENCE_IN_DIAMETER = "mate_difference_in_diameter"
TAPE_SIZE = "tape_size"
TAPE_ID = "tape_id"
TAPE_BASE = "tape_base"
MEASURED_CIRCUMFERENCE = "measured_circumference"
MEASURED_DIAMETER = "measured_diameter"
RIM_THICKNESS = "rim_thickness"
RIM_AFTER_TURNING = "rim_after_turning"
TURNING_ALLOWANCE = "turning_allowance"
HEAT_LABEL = "heat_label"
LUBRICANT = "lubricant"
LUBRICANT_AMOUNT = "lubricant_amount"

# The move and its legs.
REQUESTED_ON = "requested_on"
NOTICE_DAYS = "notice_days"
SHARPEST_CURVE = "sharpest_curve"
CLEARANCE_WIDTH = "clearance_width"
CLEARANCE_HEIGHT = "clearance_height"
ALLOWED_WIDTH = "allowed_width"
SWING_IN = "swing_in"
SWING_OUT = "swing_out"
GROSS_LIMIT = "gross_limit"
MOUNTING_CHECK = "mounting_check"
FITTED_AS_REPLACEMENT = "fitted_as_replacement"

# Words.
SOUND = "sound"

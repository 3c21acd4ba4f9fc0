"""The words that may be written as JSON (`carknocker-words/1`); docs/json.md describes every key."""

from carknocker.page.json_encoder import Rules, answer_json, keys
from carknocker.questions.words.ask import KeyToWrite, Words

FORMAT = "carknocker-words/1"
_RULES: Rules = {
    Words: keys("asked", "of", "keys"),
    KeyToWrite: keys("key", "place", "label", "says", "measured", "called", "words[word called]"),
}


def words_json(words: Words) -> str:
    """The whole answer. Ends in a line feed."""
    return answer_json(FORMAT, words, _RULES)

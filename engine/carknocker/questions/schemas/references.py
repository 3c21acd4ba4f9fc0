"""What the schema of a chapter refers to by name."""

from carknocker.questions.schemas.values import Schema

CLAUSE: Schema = {"$ref": "#/definitions/clause"}
SOURCE: Schema = {"$ref": "#/definitions/source"}
KIND: Schema = {"$ref": "#/definitions/kind"}
WORK: Schema = {"$ref": "#/definitions/work"}
EVENT: Schema = {"$ref": "#/definitions/event"}
TEST: Schema = {"$ref": "#/definitions/test"}
SPARE: Schema = {"$ref": "#/definitions/spare"}
ID: Schema = {"type": "string", "pattern": r"^[a-z0-9]+(-[a-z0-9]+)*$"}
DOTTED = r"^[a-z][a-z0-9_]*(\.[a-z][a-z0-9_]*){1,2}$"
NAMED: Schema = {"type": "string"}

"""Holds a reply of the page against its description: the schema of the status, and of every shape that it names, as
JSON Schema 2020-12 (the dialect of OpenAPI 3.1), by the package jsonschema-rs.

In: the description, the status, as files. Out: a JSON list of what does not fit.
"""

import json
import pathlib
import sys

import jsonschema_rs

description, status = (json.loads(pathlib.Path(path).read_text()) for path in sys.argv[1:3])
schema = {**description, "$ref": "#/components/schemas/Status"}
found = jsonschema_rs.Draft202012Validator(schema, validate_formats=True).iter_errors(status)
print(json.dumps([f"{list(one.instance_path)}: {one.message}" for one in found]))

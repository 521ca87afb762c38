"""Checks a JSON document on standard input against the JSON Schema named. Exit 0: it fits; 1: it does not; 3: it could not be checked."""
import json
import sys

try:
    import jsonschema
except ImportError:
    print("python3-jsonschema is not installed, so nothing was checked", file=sys.stderr)
    sys.exit(3)

with open(sys.argv[1], encoding="utf-8") as file:
    schema = json.load(file)
jsonschema.Draft202012Validator.check_schema(schema)
errors = list(jsonschema.Draft202012Validator(schema).iter_errors(json.load(sys.stdin)))
for error in errors:
    print(f"{error.json_path}: {error.message[:300]}", file=sys.stderr)
sys.exit(1 if errors else 0)

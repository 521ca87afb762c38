"""Checks replies (one JSON document a line on standard input) against the OpenAPI document named. Exit 0 and "N fit" if all do."""
import json
import sys
import warnings
from pathlib import Path

import jsonschema

document_path = Path(sys.argv[1]).resolve()
document = json.loads(document_path.read_text(encoding="utf-8"))
base = document_path.as_uri()
store = {base: document}
for schema_path in (document_path.parent / "schema").glob("*.json"):
    schema = json.loads(schema_path.read_text(encoding="utf-8"))
    schema.pop("$id", None)  # its address is where it lies; an old resolver would take the name for a second folder
    store[schema_path.as_uri()] = schema
warnings.simplefilter("ignore", DeprecationWarning)  # Debian 12 has the old way of resolving only
resolver = jsonschema.RefResolver(base, document, store=store)


def complaints(exchange):
    operation = document["paths"][exchange["path"]][exchange["method"]]
    response = operation["responses"].get(str(exchange["status"]))
    if response is None:
        return [f"status {exchange['status']} is not documented: {exchange['body'][:300]}"]
    if "$ref" in response:
        response = resolver.resolve(response["$ref"])[1]
    media = response["content"].get(exchange["type"].split(";")[0])
    if media is None:
        return [f"type {exchange['type']} is not documented"]
    body = json.loads(exchange["body"]) if exchange["type"].endswith("json") else exchange["body"]
    errors = jsonschema.Draft202012Validator(media["schema"], resolver=resolver).iter_errors(body)
    return [f"{error.json_path}: {error.message[:300]}" for error in errors]


failed = False
count = 0
for line in sys.stdin:
    exchange = json.loads(line)
    for complaint in complaints(exchange):
        failed = True
        print(exchange["method"], exchange["path"], exchange["status"], complaint)
    count += 1
if failed or count == 0:
    sys.exit(1)
print(f"{count} fit")

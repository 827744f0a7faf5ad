"""Judges garden.schema.json: a valid JSON Schema (2020-12) that garden.json keeps to, and that tells of every key in it."""
import json
import sys

from jsonschema import Draft202012Validator, FormatChecker
from jsonschema.exceptions import SchemaError

from published import Site, Verdict


def keys(value, shape, path, verdict):
    """Every key in the data is told of in the schema, with a sentence."""
    choices = [shape] + shape.get("anyOf", [])
    if isinstance(value, list):
        items = next((one["items"] for one in choices if "items" in one), {})
        for each in value:
            keys(each, items, f"{path}[]", verdict)
    if isinstance(value, dict):
        told = next((one["properties"] for one in choices if "properties" in one), None)
        if told is None:
            each = next((one["additionalProperties"] for one in choices if "additionalProperties" in one), None)
            if verdict.demand(each is not None, f"{path}: an object without keys in the schema"):
                for inner in value.values():
                    keys(inner, each if isinstance(each, dict) else {}, f"{path}{{}}", verdict)
            return
        for key, inner in value.items():
            if verdict.demand(key in told, f"{path}.{key} is not in the schema"):
                verdict.demand(told[key].get("description"), f"{path}.{key} has no sentence")
                verdict.saw("keys that are told of")
                keys(inner, told[key], f"{path}.{key}", verdict)


def main(folder):
    verdict, site = Verdict("schema"), Site(folder)
    verdict.expect("keys that are told of")
    schema = json.loads(site.files["garden.schema.json"].read_text("utf-8"))
    try:
        Draft202012Validator.check_schema(schema)
    except SchemaError as error:
        verdict.demand(False, f"no valid schema: {error.message}")
        verdict.end()
    validator = Draft202012Validator(schema, format_checker=FormatChecker())
    for error in validator.iter_errors(site.data):
        verdict.demand(False, f"{error.json_path}: {error.message}")
    keys(site.data, schema, "", verdict)
    verdict.end()


main(*sys.argv[1:2])

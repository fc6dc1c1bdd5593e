"""Reads the few lines of the benchmark's own tussock.yaml that the pipeline
needs, without a YAML library: Debian's python3-gdal does not bring one."""
import json
import re


def flow(text):
    """A flow mapping such as {id: cover, curve: [[0, 1]]} as Python values."""
    quoted = re.sub(r"([A-Za-z_][A-Za-z_ ]*)", lambda m: '"%s"' % m.group(1).strip(), text)
    return json.loads(re.sub(r'(\d)"e"-?', r"\1e-", quoted))


def load(path):
    grid, species = {}, []
    for line in open(path):
        words = line.strip()
        key, _, value = words.partition(": ")
        if key in ("crs", "cell", "extent"):
            grid[key] = value if key == "crs" else json.loads(value)
        elif words.startswith("- id: s"):
            species.append({"id": value, "requisites": []})
        elif key == "scientific":
            species[-1]["scientific"] = value
        elif words.startswith("- id: "):
            species[-1]["requisites"].append({"id": value, "criteria": []})
        elif key == "weight":
            species[-1]["requisites"][-1]["weight"] = float(value)
        elif words.startswith("- {id: "):
            species[-1]["requisites"][-1]["criteria"].append(flow(words[2:]))
    return {"grid": grid, "species": species}

package project

import (
	"bytes"
	"encoding/json"
	"os"
	"testing"

	"github.com/goccy/go-yaml"
	"github.com/santhosh-tekuri/jsonschema/v6"
)

func TestSchemaIsTheOneInTheRepository(t *testing.T) {
	raw, err := Schema()
	if err != nil {
		t.Fatal(err)
	}
	golden(t, "testdata/tussock.schema.json", string(raw))
}

// compiled compiles the schema, or one of its parts, with an independent
// validator, which also holds it against the meta-schema of draft 2020-12.
func compiled(t *testing.T, part string) *jsonschema.Schema {
	t.Helper()
	raw, err := Schema()
	if err != nil {
		t.Fatal(err)
	}
	document, err := jsonschema.UnmarshalJSON(bytes.NewReader(raw))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("tussock.json", document); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("tussock.json" + part)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// asJSON reads YAML as JSON does, anchors and merges followed.
func asJSON(file string) (any, error) {
	raw, err := os.ReadFile(file)
	if err != nil {
		return nil, err
	}
	var v any
	if err := yaml.Unmarshal(raw, &v); err != nil {
		return nil, err
	}
	text, err := json.Marshal(v)
	if err != nil {
		return nil, err
	}
	return jsonschema.UnmarshalJSON(bytes.NewReader(text))
}

func TestSchemaAcceptsWhatLoads(t *testing.T) {
	for pattern, part := range map[string]string{"testdata/valid/*.yaml": "", "testdata/valid/species/*.yaml": "#/$defs/profile"} {
		s := compiled(t, part)
		for _, file := range samples(t, pattern) {
			v, err := asJSON(file)
			if err == nil {
				err = s.Validate(v)
			}
			if err != nil {
				t.Errorf("%s: %v", file, err)
			}
		}
	}
}

// TestSchemaRejectsWhatIsWrong: every sample of mistakes that is YAML at all
// holds some that a schema can see.
func TestSchemaRejectsWhatIsWrong(t *testing.T) {
	s := compiled(t, "")
	looked := 0
	for _, file := range samples(t, "testdata/wrong/*.yaml") {
		if file == "testdata/wrong/laughs.yaml" {
			continue // unfolds to 10⁸ values in a reader without bounds
		}
		v, err := asJSON(file)
		if err != nil {
			continue
		}
		looked++
		if s.Validate(v) == nil {
			t.Errorf("%s passes", file)
		}
	}
	if looked < 5 {
		t.Errorf("only %d samples are YAML", looked)
	}
}

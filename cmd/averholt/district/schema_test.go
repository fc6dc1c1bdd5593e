package district

import (
	"bytes"
	"encoding/json"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"tussock/suitability/project"
)

// TestTheSchemaAgrees holds the hand-written files against the schema with an
// independent validator of JSON Schema, draft 2020-12.
func TestTheSchemaAgrees(t *testing.T) {
	raw, err := project.Schema()
	if err != nil {
		t.Fatal(err)
	}
	schema, err := jsonschema.UnmarshalJSON(bytes.NewReader(raw))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("tussock.json", schema); err != nil {
		t.Fatal(err)
	}
	files := map[string]string{"tussock.yaml": "", "wording.yaml": "#/$defs/wording"}
	for _, p := range writtenProfiles(t) {
		files["species/"+p.ID+".yaml"] = "#/$defs/profile"
	}
	for name, part := range files {
		s, err := c.Compile("tussock.json" + part)
		if err != nil {
			t.Fatal(err)
		}
		var v any
		unmarshal(t, name, &v)
		text, err := json.Marshal(v)
		if err != nil {
			t.Fatal(err)
		}
		if v, err = jsonschema.UnmarshalJSON(bytes.NewReader(text)); err == nil {
			err = s.Validate(v)
		}
		if err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

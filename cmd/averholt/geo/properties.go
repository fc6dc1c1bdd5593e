package geo

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
)

// writeProperties keeps the order of properties, which a map would lose.
func writeProperties(b *bytes.Buffer, properties []Property) error {
	b.WriteByte('{')
	for i, p := range properties {
		if i > 0 {
			b.WriteByte(',')
		}
		if err := writeProperty(b, p); err != nil {
			return fmt.Errorf("property %q: %w", p.Name, err)
		}
	}
	b.WriteByte('}')
	return nil
}

func writeProperty(b *bytes.Buffer, p Property) error {
	switch v := p.Value.(type) {
	case nil, string, int:
	case float64:
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return fmt.Errorf("%v is not a finite number", v)
		}
	default:
		return fmt.Errorf("a value of type %T; only text, whole numbers, numbers and nothing are written", v)
	}
	if err := writeJSON(b, p.Name); err != nil {
		return err
	}
	b.WriteByte(':')
	return writeJSON(b, p.Value)
}

// writeJSON writes a value without escaping <, > and &.
func writeJSON(b *bytes.Buffer, v any) error {
	encoder := json.NewEncoder(b)
	encoder.SetEscapeHTML(false)
	if err := encoder.Encode(v); err != nil {
		return err
	}
	b.Truncate(b.Len() - 1) // the line's end
	return nil
}

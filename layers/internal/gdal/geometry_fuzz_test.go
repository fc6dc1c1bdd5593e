package gdal

import (
	"encoding/hex"
	"testing"
)

// FuzzWKB gives GEOS bytes that may be no geometry: an error, never a crash.
func FuzzWKB(f *testing.F) {
	for _, seed := range []string{
		"0101000000000000000000f03f0000000000000040",                                         // POINT (1 2)
		"010200000002000000000000000000000000000000000000000000000000000040000000000000f03f", // LINESTRING
		"01030000000100000004000000" + "00000000000000000000000000000000" + "000000000000f03f0000000000000000" + "000000000000f03f000000000000f03f" + "00000000000000000000000000000000",
		"0103000000ffffffff",
		"010700000001000000010700000001000000",
	} {
		raw, err := hex.DecodeString(seed)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(raw)
	}
	f.Fuzz(func(t *testing.T, raw []byte) {
		if len(raw) > 4096 {
			return
		}
		reason, _, _, ok, err := Valid(raw)
		if ok == (err != nil || reason != "") {
			t.Errorf("valid %v, but %q and %v", ok, reason, err)
		}
		if mended, err := MakeValid(raw); err == nil && len(mended) == 0 {
			t.Error("mended into nothing at all, without an error")
		}
	})
}

package sheet

import (
	"fmt"
	"sync"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goitalic"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/font/sfnt"
)

// style is a cut of the typeface.
type style uint8

const (
	regular style = iota
	bold
	italic
)

// cuts are the parsed typefaces, by style.
var cuts = sync.OnceValues(func() ([3]*opentype.Font, error) {
	var list [3]*opentype.Font
	for s, ttf := range [][]byte{goregular.TTF, gobold.TTF, goitalic.TTF} {
		f, err := opentype.Parse(ttf)
		if err != nil {
			return list, fmt.Errorf("tiles: %w", err)
		}
		list[s] = f
	}
	return list, nil
})

// faces are the typefaces at the sizes that a picture uses. One per drawing.
type faces struct {
	point float64 // pixels
	cuts  [3]*opentype.Font
	made  map[faceKey]font.Face
}

type faceKey struct {
	style style
	size  float64
}

func newFaces(point float64) (*faces, error) {
	list, err := cuts()
	return &faces{point: point, cuts: list, made: map[faceKey]font.Face{}}, err
}

// face is a style at a size in points. Sizes are the program's own, so that an
// error is a programmer's.
func (f *faces) face(s style, size float64) font.Face {
	key := faceKey{s, size}
	if made, ok := f.made[key]; ok {
		return made
	}
	// At 72 to the inch, a size in points is one in pixels.
	made, err := opentype.NewFace(f.cuts[s], &opentype.FaceOptions{Size: size * f.point, DPI: 72})
	if err != nil {
		panic(err)
	}
	f.made[key] = made
	return made
}

// Unwritable are the signs of a text that the pictures' typeface lacks, each
// once.
func Unwritable(text string) []rune {
	list, err := cuts()
	if err != nil {
		return nil
	}
	var missing []rune
	var buffer sfnt.Buffer
	seen := map[rune]bool{}
	for _, r := range text {
		if index, err := list[regular].GlyphIndex(&buffer, r); (err != nil || index == 0) && !seen[r] && r >= ' ' {
			seen[r] = true
			missing = append(missing, r)
		}
	}
	return missing
}

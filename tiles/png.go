package tiles

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"image/color"

	"github.com/klauspost/compress/zlib"
)

// pngLevel trades size against time: measured on tiles of 256 px, level 5 is
// within a few per cent of the smallest and several times as fast.
const pngLevel = 5

// pngWriter makes indexed PNG pictures (ISO/IEC 15948): only the colours that a
// picture uses, 1, 2, 4 or 8 bits a pixel, no filter, one chunk of data. The
// same pixels give the same bytes. It keeps its buffers; one per goroutine.
type pngWriter struct {
	out, data bytes.Buffer
	deflate   *zlib.Writer
	line      []byte
}

func newPNGWriter() (*pngWriter, error) {
	w := &pngWriter{}
	deflate, err := zlib.NewWriterLevel(&w.data, pngLevel)
	if err != nil {
		return nil, fmt.Errorf("tiles: %w", err)
	}
	w.deflate = deflate
	return w, nil
}

// write makes a square picture of colour numbers. The bytes are the caller's
// until the next call.
func (w *pngWriter) write(numbers []byte, size int, colours []color.NRGBA) ([]byte, error) {
	renumber, used := usedColours(numbers)
	bits := bitsFor(len(used))
	if err := w.compress(numbers, size, bits, &renumber); err != nil {
		return nil, err
	}
	w.out.Reset()
	w.out.WriteString("\x89PNG\r\n\x1a\n")
	header := binary.BigEndian.AppendUint32(nil, uint32(size))
	header = binary.BigEndian.AppendUint32(header, uint32(size))
	w.chunk("IHDR", append(header, byte(bits), 3, 0, 0, 0)) // 3: indexed colour
	w.chunk("PLTE", paletteOf(used, colours))
	if alphas := alphasOf(used, colours); len(alphas) > 0 {
		w.chunk("tRNS", alphas)
	}
	w.chunk("IDAT", w.data.Bytes())
	w.chunk("IEND", nil)
	return w.out.Bytes(), nil
}

// usedColours are the colour numbers that occur, rising, and the new number of
// each.
func usedColours(numbers []byte) (renumber [256]byte, used []byte) {
	var seen [256]bool
	for _, n := range numbers {
		seen[n] = true
	}
	for n, is := range seen {
		if is {
			renumber[n] = byte(len(used))
			used = append(used, byte(n))
		}
	}
	return renumber, used
}

func bitsFor(colours int) int {
	switch {
	case colours <= 2:
		return 1
	case colours <= 4:
		return 2
	case colours <= 16:
		return 4
	}
	return 8
}

// compress packs the pixels, leftmost in the high bits, each row behind its
// filter byte, into w.data.
func (w *pngWriter) compress(numbers []byte, size, bits int, renumber *[256]byte) error {
	w.data.Reset()
	w.deflate.Reset(&w.data)
	width := (size*bits + 7) / 8
	if cap(w.line) < (width+1)*size {
		w.line = make([]byte, (width+1)*size)
	}
	packed := w.line[:(width+1)*size]
	for y := range size {
		line := packed[y*(width+1) : (y+1)*(width+1)]
		line[0] = 0 // filter: none
		packRow(line[1:], numbers[y*size:(y+1)*size], bits, renumber)
	}
	if _, err := w.deflate.Write(packed); err != nil {
		return fmt.Errorf("tiles: %w", err)
	}
	if err := w.deflate.Close(); err != nil {
		return fmt.Errorf("tiles: %w", err)
	}
	return nil
}

func packRow(to, numbers []byte, bits int, renumber *[256]byte) {
	switch bits {
	case 8:
		for x, n := range numbers {
			to[x] = renumber[n]
		}
	case 4:
		for i := range to {
			to[i] = renumber[numbers[2*i]]<<4 | renumber[numbers[2*i+1]]
		}
	default:
		perByte := 8 / bits
		for i := range to {
			var b byte
			for _, n := range numbers[i*perByte : (i+1)*perByte] {
				b = b<<bits | renumber[n]
			}
			to[i] = b
		}
	}
}

func paletteOf(used []byte, colours []color.NRGBA) []byte {
	list := make([]byte, 0, 3*len(used))
	for _, n := range used {
		c := colours[n]
		list = append(list, c.R, c.G, c.B)
	}
	return list
}

// alphasOf are the alphas up to the last colour that is not opaque.
func alphasOf(used []byte, colours []color.NRGBA) []byte {
	var list []byte
	for i, n := range used {
		if a := colours[n].A; a != 255 {
			for len(list) < i {
				list = append(list, 255)
			}
			list = append(list, a)
		}
	}
	return list
}

func (w *pngWriter) chunk(kind string, data []byte) {
	var head [8]byte
	binary.BigEndian.PutUint32(head[:4], uint32(len(data)))
	copy(head[4:], kind)
	w.out.Write(head[:])
	w.out.Write(data)
	sum := crc32.Update(crc32.ChecksumIEEE(head[4:]), crc32.IEEETable, data)
	w.out.Write(binary.BigEndian.AppendUint32(nil, sum))
}

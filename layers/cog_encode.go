package layers

import "encoding/binary"

// encode is everything before the first tile: header, ghost area, directories.
func (l cogLayout) encode() []byte {
	out := make([]byte, 0, l.head)
	le := binary.LittleEndian
	if l.big {
		out = append(out, 'I', 'I', 43, 0, 8, 0, 0, 0)
		out = le.AppendUint64(out, uint64(l.starts[0]))
	} else {
		out = append(out, 'I', 'I', 42, 0)
		out = le.AppendUint32(out, uint32(l.starts[0]))
	}
	out = append(out, ghostArea...)
	for i, tags := range l.directories {
		out = padTo(out, l.starts[i])
		next := int64(0)
		if i+1 < len(l.starts) {
			next = l.starts[i+1]
		}
		out = l.appendDirectory(out, tags, next)
	}
	return padTo(out, l.head)
}

func padTo(out []byte, at int64) []byte {
	for int64(len(out)) < at {
		out = append(out, 0)
	}
	return out
}

// appendDirectory writes a directory and, behind it, the values that do not fit
// in its entries.
func (l cogLayout) appendDirectory(out []byte, tags []tiffTag, next int64) []byte {
	count, entry, inline, link := l.entrySizes()
	values := len(out) + count + entry*len(tags) + link
	out = l.appendNumber(out, count, uint64(len(tags)))
	var behind []byte
	for _, t := range tags {
		out = binary.LittleEndian.AppendUint16(out, t.id)
		out = binary.LittleEndian.AppendUint16(out, t.kind)
		out = l.appendNumber(out, inline, uint64(t.count()))
		if len(t.values) <= inline {
			out = append(out, t.values...)
			out = append(out, make([]byte, inline-len(t.values))...)
			continue
		}
		out = l.appendNumber(out, inline, uint64(values+len(behind)))
		behind = append(behind, t.values...)
		if len(behind)%2 == 1 {
			behind = append(behind, 0)
		}
	}
	out = l.appendNumber(out, link, uint64(next))
	return append(out, behind...)
}

func (l cogLayout) appendNumber(out []byte, size int, v uint64) []byte {
	switch size {
	case 2:
		return binary.LittleEndian.AppendUint16(out, uint16(v))
	case 4:
		return binary.LittleEndian.AppendUint32(out, uint32(v))
	}
	return binary.LittleEndian.AppendUint64(out, v)
}

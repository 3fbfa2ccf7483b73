package assess

import (
	"bytes"
	"strings"
	"unicode/utf16"
	"unicode/utf8"
)

// windows1252 are the characters of the code page at 0x80 to 0x9F; the rest of its
// upper half is that of Latin 1. Five places are not assigned.
//
// Source: [windows1252].
var windows1252 = [32]rune{
	'€', 0xFFFD, '‚', 'ƒ', '„', '…', '†', '‡', 'ˆ', '‰', 'Š', '‹', 'Œ', 0xFFFD, 'Ž', 0xFFFD,
	0xFFFD, '‘', '’', '“', '”', '•', '–', '—', '˜', '™', 'š', '›', 'œ', 0xFFFD, 'ž', 'Ÿ',
}

// decode turns a report into text: UTF-8 with or without a byte-order mark, UTF-16 of
// either order (by its mark, or by the zero bytes of plain letters), else Windows-1252.
// It names the encoding, "" for UTF-8.
func decode(data []byte) (text, encoding string) {
	switch {
	case bytes.HasPrefix(data, []byte{0xEF, 0xBB, 0xBF}):
		data = data[3:]
	case bytes.HasPrefix(data, []byte{0xFF, 0xFE}):
		return fromUTF16(data[2:], false), "UTF-16"
	case bytes.HasPrefix(data, []byte{0xFE, 0xFF}):
		return fromUTF16(data[2:], true), "UTF-16"
	}
	if zeros := bytes.Count(data, []byte{0}); zeros*3 > len(data) {
		return fromUTF16(data, data[0] == 0), "UTF-16"
	}
	if utf8.Valid(data) {
		return string(data), ""
	}
	var b strings.Builder
	b.Grow(len(data))
	for _, c := range data {
		if c >= 0x80 && c < 0xA0 {
			b.WriteRune(windows1252[c-0x80])
			continue
		}
		b.WriteRune(rune(c))
	}
	return b.String(), "Windows-1252"
}

func fromUTF16(data []byte, bigEndian bool) string {
	units := make([]uint16, len(data)/2)
	for i := range units {
		low, high := data[2*i], data[2*i+1]
		if bigEndian {
			low, high = high, low
		}
		units[i] = uint16(low) | uint16(high)<<8
	}
	return string(utf16.Decode(units))
}

// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"bytes"
	"encoding/json"

	"example.com/ohmwright/uncertainty/file"
	"example.com/ohmwright/uncertainty/unit"
)

// lawTable is the list of the distributions that several sources of a record have. Forty readings
// on one range of a meter are forty sources with one rectangle for the resolution and one normal
// law for the noise: in the file these are written twice, not forty times.
//
// A law is a comparable value, so that laws are one where all their figures are equal, estimate
// included. Sources of errors have the estimate 0, as a rule, and share; those that are measured
// have estimates of their own, and stay as they are.
type lawTable struct {
	listed []jsonLaw   // in the order of the numbers
	number map[law]int // from 1; a law that is not shared has none
}

// newLawTable numbers them by their first source. A distribution of one source stays with it:
// a small record is read by people. Two passes, since a number says how many were listed before,
// and only the second source of a law shows that it is shared. All sources outside groups have a
// law, see writable; groups have a covariance matrix in its place.
func newLawTable(m *model) *lawTable {
	count := make(map[law]int) // sources
	out := &lawTable{number: make(map[law]int)}
	for _, s := range m.inputs {
		if s.group != nil {
			continue
		}
		l := s.dist.(law)
		if count[l]++; count[l] == 2 {
			out.number[l] = 0 // shared; the number comes in the second pass
		}
	}
	for _, s := range m.inputs {
		if s.group != nil {
			continue
		}
		l := s.dist.(law)
		if n, shared := out.number[l]; shared && n == 0 {
			out.listed = append(out.listed, writeLaw(l))
			out.number[l] = len(out.listed)
		}
	}
	return out
}

// of is what a source states of its distribution.
func (t *lawTable) of(l law) jsonDistribution {
	if n := t.number[l]; n > 0 {
		return jsonDistribution{number: n}
	}
	return jsonDistribution{law: writeLaw(l)}
}

// MarshalJSON writes the number, or the law itself:
//
//	"distribution": 2
//	"distribution": {"kind": "rectangular", "estimate": 0, "halfWidth": 0.005}
func (d jsonDistribution) MarshalJSON() ([]byte, error) {
	if d.number > 0 {
		return json.Marshal(d.number)
	}
	return json.Marshal(d.law)
}

// UnmarshalJSON reads both forms. Whether the list is as long as the number says is found when the
// whole file has been read, see read.
func (d *jsonDistribution) UnmarshalJSON(text []byte) error {
	if !bytes.HasPrefix(text, []byte("{")) {
		if err := json.Unmarshal(text, &d.number); err == nil && d.number > 0 {
			return nil
		}
		return &Error{Op: "uncertainty.Record", Value: string(text), Err: unit.Errorf(ErrSyntax,
			"distribution %s; expected an object, or the number of one of distributions, from 1",
			text)}
	}
	return file.DecodePart("uncertainty.Record", text, &d.law)
}

// read builds the law of a source, from those listed or from its own figures.
func (d jsonDistribution) read(listed []jsonLaw) (law, error) {
	if d.number > len(listed) {
		return law{}, unit.Errorf(ErrUnknown, "distribution %d; the record lists %s", d.number,
			unit.Counted(len(listed), "distribution", "distributions"))
	}
	if d.number > 0 {
		return listed[d.number-1].read()
	}
	return d.law.read()
}

// fewNotes is how many sources may have one note before it is listed once: a small record is read
// by people, a large one has the same three sentences beside each of its readings.
const fewNotes = 8

// noteTable is the list of the notes that many sources of a record have.
type noteTable struct {
	listed []string // in the order of the numbers
	number map[string]int
}

// newNoteTable numbers them by their first source.
func newNoteTable(m *model) *noteTable {
	count := make(map[string]int) // sources
	for _, s := range m.inputs {
		count[s.note]++
	}
	out := &noteTable{number: make(map[string]int)}
	for _, s := range m.inputs {
		if s.note != "" && count[s.note] > fewNotes && out.number[s.note] == 0 {
			out.listed = append(out.listed, s.note)
			out.number[s.note] = len(out.listed)
		}
	}
	return out
}

// of is what a source states of its note.
func (t *noteTable) of(note string) jsonNote {
	if n := t.number[note]; n > 0 {
		return jsonNote{number: n}
	}
	return jsonNote{text: note}
}

// jsonNote is a note, or the number of one of those listed.
type jsonNote struct {
	number int // from 1; 0: text
	text   string
}

// IsZero reports whether there is no note.
func (n jsonNote) IsZero() bool { return n == jsonNote{} }

// MarshalJSON writes the number, or the note itself.
func (n jsonNote) MarshalJSON() ([]byte, error) {
	if n.number > 0 {
		return json.Marshal(n.number)
	}
	return json.Marshal(n.text)
}

// UnmarshalJSON reads both forms; whether the list is long enough is found when the file has been
// read, see read.
func (n *jsonNote) UnmarshalJSON(text []byte) error {
	if bytes.HasPrefix(text, []byte(`"`)) {
		return json.Unmarshal(text, &n.text)
	}
	if err := json.Unmarshal(text, &n.number); err == nil && n.number > 0 {
		return nil
	}
	return &Error{Op: "uncertainty.Record", Value: string(text), Err: unit.Errorf(ErrSyntax,
		"note %s; expected a text, or the number of one of notes, from 1", text)}
}

// read is the note of a source, from those listed or its own.
func (n jsonNote) read(listed []string) (string, error) {
	if n.number > len(listed) {
		return "", unit.Errorf(ErrUnknown, "note %d; the record lists %s", n.number,
			unit.Counted(len(listed), "note", "notes"))
	}
	if n.number > 0 {
		return listed[n.number-1], nil
	}
	return n.text, nil
}

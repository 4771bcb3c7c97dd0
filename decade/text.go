// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade

import (
	"fmt"
	"strconv"
	"strings"

	"example.com/ohmwright/uncertainty/unit"
)

// A setting is written as it is dialled: the positions in dial order, one number for each dial,
// with a hyphen between them. Numbers and not digits, since dials go beyond 9: "10-0-2" is 1002 Ω
// on dials of 100, 10 and 1 Ω, and 1 0 0 2 would be another setting. What is read is wider than
// what is written; what is written always reads back.

// AppendText appends the positions in dial order, joined by "-", as in "4-6-3-9" or
// "10-0-2". The zero Setting is an error.
func (s Setting) AppendText(b []byte) ([]byte, error) {
	if s.box == nil {
		return b, noSetting("decade.Setting.AppendText")
	}
	return s.append(b), nil
}

// append writes the positions of a setting that has a box.
func (s Setting) append(b []byte) []byte {
	for i := range s.box.spec.Decades {
		if i > 0 {
			b = append(b, '-')
		}
		b = strconv.AppendUint(b, uint64(s.positions.at(i)), 10)
	}
	return b
}

// String returns the text of AppendText, and "no setting" for the zero Setting.
func (s Setting) String() string {
	if s.box == nil {
		return "no setting"
	}
	// Room for ten dials of two digits each.
	return string(s.append(make([]byte, 0, 32)))
}

// Format prints the setting. The verbs v, s and q print the text of [Setting.String], the
// verbs e, f and g the nominal value in ohms as a float64: "%.1f Ω". Of the zero Setting all of
// them print "no setting".
func (s Setting) Format(f fmt.State, verb rune) {
	switch verb {
	case 'e', 'E', 'f', 'F', 'g', 'G':
		if s.IsValid() {
			fmt.Fprintf(f, fmt.FormatString(f, verb), s.Nominal())
			return
		}
		// Without a setting no number is printed: a reader would take it for one.
		fmt.Fprint(f, s.String())
	case 'v', 's', 'q':
		if verb == 'v' {
			verb = 's'
		}
		// FormatString keeps width and flags: "%-12v" makes a column.
		fmt.Fprintf(f, fmt.FormatString(f, verb), s.String())
	default:
		fmt.Fprintf(f, "%%!%c(decade.Setting=%v)", verb, s)
	}
}

// MarshalText returns the text of AppendText.
func (s Setting) MarshalText() ([]byte, error) { return s.AppendText(nil) }

// UnmarshalText reads the positions into a setting that already belongs to a box, such as
// [Box.Zero]; text alone does not say which box is meant. See [Box.ParseSetting].
func (s *Setting) UnmarshalText(text []byte) error {
	if s == nil || s.box == nil {
		return &Error{Op: "decade.Setting.UnmarshalText",
			Err: unit.Errorf(ErrNoBox, "the setting belongs to no box; expected one from "+
				"Box.Zero, or use Box.ParseSetting")}
	}
	// After an error the setting is what it was.
	t, err := s.box.ParseSetting(string(text))
	if err != nil {
		return err
	}
	*s = t
	return nil
}

// ParseSetting reads positions in dial order, joined by "-": "4-6-3-9". As people and programs
// write it, blanks may stand around each position, another dash or a minus sign for the hyphen,
// and blanks alone between the positions: "4 – 6 – 3 – 9", "4 6 3 9". It returns an error where
// the text is of another form ([ErrSyntax]), and under the conditions of [Box.At].
func (b *Box) ParseSetting(text string) (Setting, error) {
	const op = "decade.Box.ParseSetting"
	if b.none() {
		return Setting{}, noBox(op)
	}
	s := Setting{box: b}
	rest := hyphenated(text)
	n := b.NumDecades()
	// Counted first: a missing dial is then not reported as a strange position of the next one.
	got := strings.Count(rest, "-") + 1
	if strings.TrimSpace(text) == "" {
		got = 0
	}
	if got != n {
		return Setting{}, &Error{Op: op, Name: shortened(text), Value: float64(got),
			Err: unit.Errorf(ErrSyntax, "%s; expected %d joined by \"-\", such as %v",
				unit.Counted(got, "position", "positions"), n, b.Zero())}
	}
	for i := range n {
		digits, after, _ := strings.Cut(rest, "-")
		rest = after
		p, err := position(digits)
		if err != nil {
			return Setting{}, &Error{Op: op, Name: shortened(text),
				Err: unit.Errorf(ErrSyntax, "dial %s: %s; expected a whole number from %s",
					b.spec.Decades[i].Name, shortened(digits), b.spec.Decades[i].positionsText())}
		}
		if err := b.checkPosition(op, i, p); err != nil {
			return Setting{}, err
		}
		s.positions.set(i, p)
	}
	if err := s.checkSwitches(op); err != nil {
		return Setting{}, err
	}
	return s, nil
}

// ParsePositions reads the text of a setting as [Box.ParseSetting] does, of a box that nobody
// has described yet: the positions of its dials, as many as there are. It returns an error where
// the text is of another form or a position is above 255 ([ErrSyntax], [ErrPosition]).
func ParsePositions(text string) ([]int, error) {
	const op = "decade.ParsePositions"
	var out []int
	// A number of any length is above maxPosition, and refused as a position.
	for digits := range strings.SplitSeq(hyphenated(text), "-") {
		p, err := position(digits)
		switch {
		case err != nil:
			return nil, &Error{Op: op, Name: shortened(text),
				Err: unit.Errorf(ErrSyntax, "%s; expected whole numbers joined by \"-\", such as "+
					"4-6-3-9", shortened(digits))}
		case p > maxPosition:
			return nil, &Error{Op: op, Name: shortened(text), Value: float64(p),
				Err: unit.Errorf(ErrPosition, "position %d; expected 0 to %d", p, maxPosition)}
		}
		out = append(out, p)
	}
	return out, nil
}

// hyphens are what stands for a hyphen: those of Unicode, the figure, en and em dash, the
// minus sign. Word processors put one of them where a hyphen was typed.
var hyphens = strings.NewReplacer("\u2010", "-", "\u2011", "-", "\u2012", "-", "\u2013", "-",
	"\u2014", "-", "\u2212", "-")

// hyphenated writes positions with a hyphen between them and without blanks. Blanks alone
// separate positions only where there is no hyphen: in "1 0-2" one of the two is a slip.
func hyphenated(text string) string {
	rest := strings.TrimSpace(text)
	if strings.Trim(rest, "0123456789-") == "" {
		return rest // nothing to do, which is the rule
	}
	rest = hyphens.Replace(rest)
	if !strings.Contains(rest, "-") {
		return strings.Join(strings.Fields(rest), "-")
	}
	parts := strings.Split(rest, "-")
	for i, part := range parts {
		parts[i] = strings.TrimSpace(part)
	}
	return strings.Join(parts, "-")
}

const (
	mostDigits  = 9           // that an int of 32 bits holds whatever they are
	beyondDials = 999_999_999 // stands for a number with more: no dial goes as far
)

// position reads digits without sign and without leading zeros. A number too long for an int is
// beyondDials and no error of form, so that the message says how far the dial goes.
func position(digits string) (int, error) {
	// A leading zero is a slip of the pen or two dials run together; neither may be guessed.
	leadingZero := len(digits) > 1 && digits[0] == '0'
	if digits == "" || leadingZero || strings.Trim(digits, "0123456789") != "" {
		return 0, strconv.ErrSyntax
	}
	if len(digits) > mostDigits {
		return beyondDials, nil
	}
	return strconv.Atoi(digits)
}

// positionsText names the positions of a dial: "0 to 6, 8 to 10". Runs end where a position is
// missing, the last one behind the highest, where p stands for a position that no dial has.
func (d *Decade) positionsText() string {
	var runs []string
	from := 0 // where the run begins that p would end
	for p := 1; p <= d.Positions+1; p++ {
		if p <= d.Positions && d.HasPosition(p) {
			continue
		}
		switch {
		case from == p-1: // a run of one; of two missing neighbours there is none between
			runs = append(runs, strconv.Itoa(from))
		case from < p:
			runs = append(runs, fmt.Sprintf("%d to %d", from, p-1))
		}
		from = p + 1
	}
	return strings.Join(runs, ", ")
}

// shortened quotes a text for a message, without its end where it is long.
func shortened(s string) string {
	const most = 40 // bytes: enough to find the place in a file
	if len(s) > most {
		// The cut may go through a character, of which the rest is dropped.
		return strconv.Quote(strings.ToValidUTF8(s[:most], "")) + "…"
	}
	return strconv.Quote(s)
}

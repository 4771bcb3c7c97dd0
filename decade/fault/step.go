// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

// A step is one act in the words of the bench: what is dialled or looked at, why, and with which
// cautions. Acts are ordered by what they cost and change; those from ActDial to ActReverse end
// in a reading, those after them touch the box. Which step comes next is decided in next.go, the
// texts are here.
//
// Cautions follow the hazards of the act (the safety standard of such equipment is IEC 61010-1,
// from memory; local codes rule):
//
// The first caution is always that the box is taken off whatever it is connected to, the last that
// local codes rule; a step that touches nothing has none. Between them stand those of the act:
//
//   every reading     stored charge, the test current in the smallest dial
//   1 MΩ and more     the source voltage of high-ohm ranges
//   insulation test   its test voltage, and the charge it leaves
//   cleaning          solvents, and what contacts and boards are made of
//   opening           boards of asbestos, cadmium, beryllium
//
// A text says what to do and what it is good for, so that one who knows a cheaper way may take
// it. It promises what the reading separates, not what it will show.

import (
	"fmt"
	"math"
	"strings"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/internal/wording"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty/file"
	"example.com/ohmwright/uncertainty/unit"
)

// Act is the kind of a [Step]: what is to be done at the bench. Any number of goroutines may use
// one at once.
type Act uint8

const (
	ActNothing       Act = iota // stop: nothing more is to be learned, or none is needed
	ActDial                     // dial a setting that was not read yet, and read it
	ActDialAgain                // turn every dial away and back, and read once more
	ActOtherRange               // read the setting on another range of the meter
	ActKnownResistor            // read a resistor of known value on a range of the meter
	ActReverse                  // read the setting with the polarity reversed
	ActInsulation               // test the insulation between terminals and case
	ActClean                    // clean and exercise contacts, and read again
	ActOpen                     // open the box and look
)

// acts has the texts in the order of the constants; files have them.
var acts = file.Words[Act]{Type: "fault.Act", Texts: []string{
	"nothing", "dial a setting", "dial it again", "read on another range", "read a known resistor",
	"reverse the polarity", "test the insulation", "clean and exercise", "open and look",
}}

// String returns the act in words: "dial it again".
func (a Act) String() string { return acts.String(a) }

// MarshalText returns the text of String.
func (a Act) MarshalText() ([]byte, error) { return acts.Marshal(a) }

// UnmarshalText reads what MarshalText writes.
func (a *Act) UnmarshalText(text []byte) error { return acts.Unmarshal(text, a) }

// IsReading reports whether the act ends in a reading at the terminals that
// verify.Evaluate takes. A test of the insulation ends in a figure that no report has a row for.
func (a Act) IsReading() bool { return a >= ActDial && a <= ActReverse }

// A Step is the next thing to do at the bench, such as a setting to read or contacts to clean.
// Any number of goroutines may read one at once.
type Step struct {
	Act     Act
	Setting decade.Setting // to dial; not valid where none is dialled
	Range   string         // of the meter, that is to be read on or checked; empty: any
	Places  []Place        // to look at, or to clean
	Text    string         // a sentence or two
	// Cautions belong to the act, a sentence each; none where nothing is touched.
	Cautions []string
}

// String returns the text, followed by the cautions.
func (s Step) String() string { return strings.Join(append([]string{s.Text}, s.Cautions...), " ") }

// Reading returns a step that ends in a reading of a setting: the act, the text that says what to
// do, and the cautions that belong to the act.
func Reading(a Act, x decade.Setting, text string) Step {
	s := Step{Act: a, Setting: x, Text: text}
	s.Cautions = s.cautions()
	return s
}

// The cautions, a sentence each, so that each is said once where several acts need it.
const (
	cautionOff      = "Disconnect the box from everything and discharge it first."
	cautionCurrent  = "Keep the test current within the rating of the smallest dial in use."
	cautionHighOhms = "High-ohm ranges put dangerous voltage on leads and terminals: do not " +
		"touch them while reading."
	cautionTester = "An insulation tester carries dangerous voltage: joined terminals to case " +
		"only, within the rating of the box; discharge it before you touch anything."
	cautionOpen = "Leave asbestos boards in old boxes alone, and do not grind contacts: " +
		"they may contain cadmium or beryllium."
	cautionSolvent = "Solvents are flammable and their vapours harmful: fresh air, no flame; " +
		"let everything dry before you apply any voltage."
	cautionSolder = "Soldering is hot and its fumes are harmful: fresh air, eye protection; " +
		"old joints may contain lead or cadmium."
	cautionCodes = "Local codes and licensed practice come first."
)

// highOhms is the resistance from which meters apply high voltage, in Ω. A test current of 10 µA
// makes 10 V of 1 MΩ; insulation testers, and many meters above, use a hundred volts and more
// (common practice).
const highOhms = 1e6

// setText sets range, text and cautions of a step. lead is nil where the box is healthy or
// nothing is known; the act, setting and places are there already. ActNothing keeps the text that
// it has: why there is nothing to do, nextStep knows.
func (s *Step) setText(r *verify.Report, lead *Cause) {
	if s.Range == "" {
		s.Range = s.rangeOf(r)
	}
	where := s.placesInWords(r.Box)
	// A range may have no name, and a setting may not have been read.
	on := "on the range concerned"
	if s.Range != "" {
		on = "on range " + s.Range
	}
	switch s.Act {
	case ActNothing:
		return
	case ActDial:
		s.Text = fmt.Sprintf("Set the dials to %v and read: this setting separates the "+
			"remaining causes best.", s.Setting)
	case ActDialAgain:
		s.Text = fmt.Sprintf("Turn every dial away and back to %v and read it again: a second "+
			"dialling separates a resistor from a contact and from a recording error.", s.Setting)
	case ActOtherRange:
		s.Text = fmt.Sprintf("Read %v once more, %s: a fault of the box stays, an error of the "+
			"other range of the meter does not.", s.Setting, on)
	case ActKnownResistor:
		s.Text = fmt.Sprintf("Read a resistor of known value %s, near %s, and enter it with the "+
			"readings: it tells the meter from the box.", on, ohms(knownOhms(r, s)))
		// Joined leads are a standard of 0 Ω that is always at hand: the zero error (VIM 4.28,
		// from memory) needs no other.
		if lead.onlyZero() {
			s.Text = fmt.Sprintf("Join the leads and read them %s, which is a known 0 Ω: it "+
				"tells the meter and the leads from the box.", on)
		}
	case ActReverse:
		s.Text = fmt.Sprintf("Read %v with the polarity reversed: what changes is a thermal EMF "+
			"or a film on a contact, not resistance; use the mean of both.", s.Setting)
	case ActInsulation:
		s.Text = insulationText(lead, where)
	case ActClean:
		s.Text = s.cleaningText(r.Box, where)
	case ActOpen:
		s.Text = fmt.Sprintf("Open the box and look at %s: no further reading at the terminals "+
			"can tell more.", where)
		// A knob is outside: nothing is opened for it.
		if lead != nil && lead.Kind == KindSlip && len(lead.Faults) == 1 {
			s.Text = fmt.Sprintf("Look at the knob and the stops of %s: a slipped knob shows "+
				"there at once.", where)
		}
	}
	s.Cautions = s.cautions()
}

// insulationText says how the insulation is tested, and what it decides. The number to expect is
// the leak that the readings show: the insulation resistance is of the same size if the leak goes
// there. A case that is strapped to a terminal is part of the circuit until the strap is off.
func insulationText(lead *Cause, where string) string {
	first := "Join the terminals and test the insulation to the case"
	if lead != nil && lead.Kind == KindCaseLeak {
		first = "Take the strap to the case off, read again, join the terminals and test " +
			"the insulation to the case"
	}
	return first + fmt.Sprintf(": expect %s if the leak goes there. If it is far more, look for "+
		"the leak at %s.", ohms(leakOhms(lead)), where)
}

// cleaningText says what is exercised, read again and then cleaned. The contact is named where it
// is one; series resistance may sit in any switch. Exercise comes first: it needs no opened box.
func (s *Step) cleaningText(b *decade.Box, where string) string {
	first := "Exercise every dial, twenty turns from end to end, tighten posts and leads, " +
		"and read again; if that is not enough, clean wipers and contacts."
	if s.Setting.IsValid() && len(s.Places) > 0 && s.Places[0].ofDial() {
		first = fmt.Sprintf("Exercise %s, twenty turns from end to end, and read %v again; "+
			"if that is not enough, clean the contact at %s.",
			Place{PartDial, s.Places[0].Dial, 0}.In(b), s.Setting, where)
	}
	return first + " Both are adjustments: keep the readings as found."
}

// members lists the hypotheses of a cause, the leading one first. It is a new slice each time.
func (c *Cause) members() [][]Fault { return append([][]Fault{c.Faults}, c.Equal...) }

// onlyZero reports whether the meter is among the members of a cause with its zero only. A nil
// cause has none. Where a gain or the whole box is in the class, 0 Ω tells nothing of it.
func (c *Cause) onlyZero() bool {
	if c == nil {
		return false
	}
	zero := false
	// All members, since the step is for the whole class: what it does not test stays open.
	for _, faults := range c.members() {
		for _, f := range faults {
			zero = zero || f.Kind == KindMeterZero
			if f.Kind == KindMeterGain || f.Kind == KindBoxDrift {
				return false
			}
		}
	}
	return zero
}

// knownOhms is a good value of a resistor to check a range with, in Ω: that of the setting,
// or the power of ten at which the range ends: of one that ends at 12 kΩ 10 kΩ, where its gain
// shows best.
func knownOhms(r *verify.Report, s *Step) float64 {
	for _, rg := range r.Meter.Ranges {
		if rg.Name == s.Range {
			// Standards come in powers of ten; 1e-9 keeps a range that ends at one from falling
			// below it.
			return math.Pow(10, math.Floor(math.Log10(rg.Reach())+1e-9))
		}
	}
	return s.Setting.Value()
}

// leakOhms is what a leak measures, in Ω. 0 where there is no cause: then no number is expected.
func leakOhms(c *Cause) float64 {
	if c == nil || len(c.Faults) == 0 {
		return 0
	}
	return c.Faults[0].Value
}

// placesInWords names the places. Without places the path as a whole is meant.
func (s *Step) placesInWords(b *decade.Box) string {
	if len(s.Places) == 0 {
		return "wipers and contacts"
	}
	words := make([]string, len(s.Places))
	for i, p := range s.Places {
		words[i] = p.withPositions(b)
	}
	return joined(words, "and")
}

// rangeOf is the range that the step is about: the one on which its setting was read, or
// another one for ActOtherRange. It is empty where the act does not care for the range, and where
// the setting was not read.
func (s *Step) rangeOf(r *verify.Report) string {
	if s.Act != ActOtherRange && s.Act != ActKnownResistor || !s.Setting.IsValid() {
		return ""
	}
	rows := r.At(s.Setting)
	switch {
	case len(rows) == 0:
		return ""
	case s.Act == ActKnownResistor:
		return rows[0].Range
	}
	return otherRange(r, s.Setting.Value(), rows[0].Range)
}

// mostRatio is how far above a value the full scale of a range may be that is to confirm it. A
// range of 20 times the value with a range part of 10 ppm has 200 ppm of the value.
const mostRatio = 20

// otherRange finds the smallest other range that shows a value; empty where none does.
func otherRange(r *verify.Report, ohms float64, than string) string {
	best, size := "", 0.0
	for _, rg := range r.Meter.Ranges {
		// On a range that is much too large the range part of the limits hides what is looked for.
		if rg.Name == than || rg.Reach() < ohms || rg.FullScale > mostRatio*ohms {
			continue
		}
		if best == "" || rg.FullScale < size {
			best, size = rg.Name, rg.FullScale
		}
	}
	return best
}

// cautions are those of the act in the order in which they are needed: before anything is touched,
// while it is done, and the codes last.
func (s *Step) cautions() []string {
	out := []string{cautionOff}
	switch {
	case s.Act == ActNothing:
		return nil
	// One current flows in all dials in use, so that the smallest rating among them rules.
	case s.Act.IsReading():
		out = append(out, cautionCurrent)
		if s.Setting.IsValid() && s.Setting.Value() >= highOhms {
			out = append(out, cautionHighOhms)
		}
	case s.Act == ActInsulation:
		out = append(out, cautionTester)
	case s.Act == ActClean:
		out = append(out, cautionOpen, cautionSolvent)
	case s.Act == ActOpen:
		out = append(out, cautionOpen)
	}
	return append(out, cautionCodes)
}

// withPositions names a place so that it can be found: an element with the positions that it lies
// between, which is what one sees on a switch: "element 4 of ×100, between positions 3 and 4".
func (p Place) withPositions(b *decade.Box) string {
	s := p.In(b)
	d := b.Decades()
	if p.Part != PartElement || p.Dial < 0 || p.Dial >= len(d) {
		return s
	}
	if dec := d[p.Dial]; dec.Tapped() {
		low, high := dec.Taps(p.Number)
		return fmt.Sprintf("%s, between positions %d and %d", s, low, high)
	}
	return fmt.Sprintf("%s, in circuit at %s", s, positionsWith(d[p.Dial], p.Number))
}

// positionsWith names the positions at which an element of a code is in circuit. An element of a
// code may be in circuit at positions that do not follow one another: element 2 of 1-2-2-5 at 2,
// 3, 4, and again from 8 on.
func positionsWith(d decade.Decade, element int) string {
	var at []int
	// A missing position has no elements in circuit, and is not named.
	for p := range d.Positions + 1 {
		for _, e := range d.InCircuit(p) {
			if e == element {
				at = append(at, p)
			}
		}
	}
	return numbered("position", at)
}

// numbered names numbers of a thing, runs of three and more as such: "positions 3, 5 to 9". list
// is sorted, without repeats; two neighbours are named both: "positions 5 and 6".
func numbered(thing string, list []int) string {
	if len(list) > 1 {
		thing += "s"
	}
	return thing + " " + numbersInWords(list)
}

// numbersInWords lists numbers, sorted and without repeats: "3, 5 to 9".
func numbersInWords(list []int) string {
	var words []string
	// i is the first of a run and j its last.
	for i := 0; i < len(list); {
		j := i
		for j+1 < len(list) && list[j+1] == list[j]+1 {
			j++
		}
		switch {
		case j > i+1:
			words = append(words, fmt.Sprintf("%d to %d", list[i], list[j]))
		case j == i+1:
			words = append(words, fmt.Sprint(list[i]), fmt.Sprint(list[j]))
		default:
			words = append(words, fmt.Sprint(list[i]))
		}
		i = j + 1
	}
	return joined(words, "and")
}

// joined lists words: "a", "a and b", "a, b and c".
func joined(words []string, last string) string {
	n := len(words)
	if n < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:n-1], ", ") + " " + last + " " + words[n-1]
}

// amount prints a value with its expanded uncertainty at k = 2, where there is one: "1.72 Ω (U =
// 0.14 Ω)". The value has no digits below those of U. v and u are in Ω, u a standard
// uncertainty; u of 0 or none prints v alone.
func amount(v, u float64) string {
	// GUM 6.3.3: k = 2 for about 95 %.
	U := 2 * u
	if !(u > 0) || !finite(u) {
		return ohms(v)
	}
	// A value within its U of 0 has no significant digit to keep; one is shown to give its order.
	if U >= math.Abs(v) {
		return fmt.Sprintf("about %s (U = %s)", unit.Format(wording.Rounded(v, 1), unit.Ohm),
			unit.Format(wording.Rounded(U, 1), unit.Ohm))
	}
	return fmt.Sprintf("%s (U = %s)", unit.Format(toDigitsOf(v, U), unit.Ohm),
		unit.Format(wording.Rounded(U, 2), unit.Ohm))
}

// share prints a fraction in the same way: "0.25 % (U = 0.012 %)". v and u are fractions, printed
// in per cent; three digits are enough for what is told of a whole dial.
func share(v, u float64) string {
	U := 2 * u
	if !(u > 0) || !finite(u) {
		return wording.Percent(v)
	}
	return fmt.Sprintf("%s (U = %s)", wording.Percent(toDigitsOf(v, U)),
		wording.Percent(wording.Rounded(U, 2)))
}

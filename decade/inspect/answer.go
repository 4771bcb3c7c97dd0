// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package inspect

// Packages verify and fault each propose what could be done next; somebody at a bench can do one
// thing. The method next takes the first line of this table that applies:
//
//	state of the readings                          step
//	a value is not plausible                       read it again, up to two times
//	a shared deviation rules, its cause open       read a known resistor on that range
//	no diagnosis, temperatures no room has         correct the record
//	no diagnosis                                   zero, each dial at its top, all at their tops
//	something is wrong, or a doubt can be removed  the step of the diagnosis
//	a dial has not been read                       its highest position
//	temperatures no room has                       correct the record
//	none of these                                  nothing: finished
//
// The order is that of what a mistake costs: a line of the record, a reading, a soldered joint.
// All of it is about the stage that was read last: readings as found cannot be repeated once the
// box was adjusted.
//
// Several kinds of text say the same facts (Reason, Causes, the step, the cautions). They are made
// here and nowhere else, so that a screen, a file and a program never disagree.

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/fault"
	"example.com/ohmwright/decade/internal/wording"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/unit"
)

// ErrEmpty is the cause of errors about what is not there, for [errors.Is]; other packages
// declare the same value.
var ErrEmpty = uncertainty.ErrEmpty

// Error says what was refused, with its value and the cause; it is the error type of all
// packages here. Any number of goroutines may read one at once.
type Error = unit.Error

// An Answer is what one inspection of a box says. Several goroutines may read it at once. Its
// methods use its fields as they are when called: a caller who changes Budget or Next of its own
// Answer finds them in the texts. The methods of a nil or zero Answer speak of an empty report.
type Answer struct {
	Report *verify.Report

	// Diagnosis is nil where nothing can be said of causes yet; NoDiagnosis says why.
	Diagnosis   *fault.Diagnosis
	NoDiagnosis error

	// Incomplete: the options ask for two faults at once, and only single ones were looked for
	// so far. See [Inspection.Complete].
	Incomplete bool

	// Next is the one step to take now.
	Next fault.Step

	// Budget is a setting of which the budget is printed; none where it is not valid.
	Budget decade.Setting
}

// orEmpty is the answer, or one of an empty report where there is none, so that methods need not
// ask at each step. It never changes a: others may read it.
func (a *Answer) orEmpty() *Answer {
	switch {
	case a == nil:
		return &Answer{Report: &verify.Report{}}
	case a.Report == nil:
		b := *a
		b.Report = &verify.Report{}
		return &b
	}
	return a
}

// New looks for the causes of what a report shows, and assembles the answer. Where the
// readings are too few or contradict each other, so that no cause can be looked for, the
// answer says that, and what to read. It returns an error if there is no report or no context
// ([ErrEmpty]), if the options make no sense, or if the context ends.
func New(ctx context.Context, r *verify.Report, o fault.Options) (*Answer, error) {
	if r == nil || r.Box == nil {
		return nil, &Error{Op: "inspect.New", Name: "report",
			Err: unit.Errorf(ErrEmpty,
				"nil, or without a box; expected one made by verify.Evaluate")}
	}
	if ctx == nil {
		return nil, noContext("inspect.New")
	}
	d, err := o.Diagnose(ctx, r)
	if tooFew(err) {
		a := &Answer{Report: r, NoDiagnosis: err}
		a.Next = a.next()
		return a, nil
	}
	if err != nil {
		return nil, err
	}
	return Assemble(r, d)
}

// tooFew reports whether an error says that readings, not arguments, are wrong: an open circuit,
// elements that no reading determines, readings that contradict each other, or none with a value.
// Of these an answer can say what to read; an error of other kinds goes to the caller.
func tooFew(err error) bool {
	return errors.Is(err, fault.ErrOpen) || errors.Is(err, fault.ErrUndetermined) ||
		errors.Is(err, fault.ErrContradiction) || errors.Is(err, fault.ErrEmpty)
}

// noContext is an error of the program: taken for readings that are too few, it would stand in an
// answer as the reason why no cause can be named.
func noContext(op string) error {
	return &Error{Op: op, Name: "context", Err: unit.Errorf(ErrEmpty, "nil; expected a context")}
}

// Assemble makes the answer of a report and a diagnosis of it. It is an error if one is missing.
// The caller sees to it that both are of the same readings.
func Assemble(r *verify.Report, d *fault.Diagnosis) (*Answer, error) {
	if r == nil || r.Box == nil || d == nil {
		return nil, &Error{Op: "inspect.Assemble",
			Err: unit.Errorf(ErrEmpty, "no report, or no diagnosis; expected both, of one box")}
	}
	a := &Answer{Report: r, Diagnosis: d}
	a.Next = a.next()
	return a, nil
}

// next is the one step: recording errors before causes, causes before what was not read.
func (a *Answer) next() fault.Step {
	r := a.Report
	// A recording error costs a minute, a wrong cause a soldered joint.
	if s, ok := a.readAgain(); ok {
		return s
	}
	if s, ok := a.knownFirst(); ok {
		return s
	}
	record, wrong := a.wrongTemperature()
	if a.Diagnosis == nil {
		if wrong {
			return record // before any part is suspected that no usable reading shows
		}
		return a.readFirst()
	}
	// Where something is wrong a dial that nobody has read yet can wait.
	if a.Diagnosis.Next.Act != fault.ActNothing || a.leadIs(fault.KindUnexplained) {
		return a.Diagnosis.Next
	}
	if x, ok := notRead(r); ok {
		return fault.Reading(fault.ActDial, x, fmt.Sprintf("Set the dials to %v and read: %s "+
			"has not been read yet.", x, r.Box.Decades()[dialOf(x)].Name))
	}
	if wrong {
		return record
	}
	return a.Diagnosis.Next
}

// wrongTemperature proposes to correct temperatures that no room has, at the first setting that
// has one: the values beside them may be right.
func (a *Answer) wrongTemperature() (fault.Step, bool) {
	for _, f := range a.Report.Implausible {
		if f.Stage != lastStage(a.Report) || len(f.Settings) == 0 ||
			f.Kind != verify.FindingTemperature {
			continue
		}
		x := f.Settings[0]
		return fault.Reading(fault.ActDialAgain, x, fmt.Sprintf("Correct the temperatures in the "+
			"record (%s); where they were right, set the dials to %v again and read at "+
			"room temperature: the verdicts that rest on them are withheld.",
			wording.Settings(f.Settings), x)), true
	}
	return fault.Step{}, false
}

// readAgain proposes to read again the first setting whose value is not plausible; false: there is
// none that another reading could put right. It comes first since the search leaves such values
// out: what they could show of the box is missing until they are read again.
func (a *Answer) readAgain() (fault.Step, bool) {
	for _, f := range a.Report.Implausible {
		// No second reading changes a temperature that was written down wrong, or what was found
		// before the box was adjusted.
		if f.Stage != lastStage(a.Report) || len(f.Settings) == 0 ||
			f.Kind == verify.FindingTemperature {
			continue
		}
		// What reads the same implausible value time after time is no slip of the pen.
		if n := len(a.Report.At(f.Settings[0])); n > mostDiallings {
			continue
		}
		x := f.Settings[0]
		return fault.Reading(fault.ActDialAgain, x,
			fmt.Sprintf("Check the record of %s, then set the dials to %v again and read: "+
				"the search for causes uses plausible readings only.",
				wording.Settings(f.Settings), x)), true
	}
	return fault.Step{}, false
}

// knownFirst proposes a known resistor where something common to the readings rules, on the
// ranges concerned, unless one was read on them. Meter and box cannot be told apart by readings of
// the box alone: v = (1 + g)·(1 + d)·R has the product of the gain error g of the meter and the
// drift d of all elements. A known resistor gives g.
func (a *Answer) knownFirst() (fault.Step, bool) {
	r := a.Report
	if a.causeKnown() {
		return fault.Step{}, false
	}
	for _, c := range r.Common {
		if c.Stage != lastStage(r) || !c.Rules {
			continue
		}
		// A range that a standard has shown is corrected already.
		ranges := slices.DeleteFunc(c.Ranges(), func(name string) bool {
			return slices.ContainsFunc(r.Standards,
				func(s verify.Standard) bool { return s.Reading.Range == name })
		})
		if len(ranges) == 0 {
			continue
		}
		step := fault.Reading(fault.ActKnownResistor, decade.Setting{},
			"Read one resistor of known value on range "+strings.Join(ranges, ", then on ")+
				", and enter the result with the readings: the deviation they share comes from "+
				"the meter, the temperature or the whole box, and this separates the meter from "+
				"the other two.")
		step.Range = ranges[0]
		return step, true
	}
	return fault.Step{}, false
}

// causeKnown reports whether one cause, or a healthy box, is nearly certain that has nothing
// to do with the meter or with all of a dial: a leak shifts many readings alike, too.
func (a *Answer) causeKnown() bool {
	d := a.Diagnosis
	if d == nil || d.Healthy || len(d.Causes) == 0 || d.Causes[0].Probability < nearlyCertain {
		return false
	}
	for _, faults := range append([][]fault.Fault{d.Causes[0].Faults}, d.Causes[0].Equal...) {
		for _, f := range faults {
			// These may be the meter, however probable they are.
			switch f.Kind {
			case fault.KindBoxDrift, fault.KindDialDrift, fault.KindAged, fault.KindMeterGain,
				fault.KindMeterZero, fault.KindUnexplained:
				return false
			}
		}
	}
	return true
}

// nearlyCertain is the probability from which a cause explains a shared deviation without the
// meter. A lower one skips the known resistor while the meter may still be at fault; a higher one
// asks for it where a leak is all but shown. It is a choice, not a measured optimum.
const nearlyCertain = 0.9

// mostDiallings is the number of diallings of a setting up to which another is asked for: the
// second shows a slip of the pen, a third says which of two values holds.
const mostDiallings = 2

// readFirst proposes what is read first, where it was not: zero, each dial alone at its
// highest position, all dials at their highest. A box of n dials has up to n + 2 of these settings;
// at its highest position a dial has every element in the path whose elements lie in series.
func (a *Answer) readFirst() fault.Step {
	box := a.Report.Box
	// Few settings, most of the box: each dial whole, and all of them together.
	plan := []decade.Setting{box.Zero()}
	for d, dec := range box.Decades() {
		if x, err := box.Zero().With(d, dec.Positions); err == nil {
			plan = append(plan, x)
		}
	}
	if x, err := box.Max(); err == nil {
		plan = append(plan, x)
	}
	why := "there are too few readings to look for causes"
	if len(a.Report.Rows) > 1 && !slices.ContainsFunc(a.Report.Rows,
		func(row verify.Row) bool { return !row.Overload }) {
		// Not even one setting that closes the path is known: what it has in it is sound.
		why = "every reading so far is above the range of the meter, and a setting that shows " +
			"a value tells where the path is open"
	}
	for _, x := range plan {
		if len(a.Report.At(x)) == 0 {
			return fault.Reading(fault.ActDial, x, fmt.Sprintf("Set the dials to %v and read: %s.",
				x, why))
		}
	}
	// All of that was read and was beyond every range: the path is open somewhere.
	return fault.Step{Act: fault.ActOpen, Text: "Check the leads and the range of the meter, " +
		"then open the box and look at posts, links and wipers: no reading has a value.",
		Cautions: fault.Reading(fault.ActDial, box.Zero(), "").Cautions}
}

// notRead finds the first dial that was at zero in every reading of the last stage, and returns
// its highest position with the other dials at zero; false: there is none. A reading of several
// dials counts for each of them. Cost: readings times dials.
func notRead(r *verify.Report) (decade.Setting, bool) {
	stage := lastStage(r)
	for d, dec := range r.Box.Decades() {
		if !slices.ContainsFunc(r.Rows, func(row verify.Row) bool {
			return row.Reading.Stage == stage && row.Setting.Position(d) > 0
		}) {
			if x, err := r.Box.Zero().With(d, dec.Positions); err == nil {
				return x, true
			}
		}
	}
	return decade.Setting{}, false
}

// dialOf is the index of the first dial off zero; 0 where none is.
func dialOf(x decade.Setting) int {
	return max(0, slices.IndexFunc(x.Positions(), func(p int) bool { return p > 0 }))
}

// lastStage is the stage of which steps are proposed: as left as soon as one reading is. It is as
// found of a report without readings.
func lastStage(r *verify.Report) verify.Stage {
	stages := r.Stages()
	if len(stages) == 0 {
		return verify.StageAsFound
	}
	return stages[len(stages)-1]
}

// leadIs reports whether the most probable cause of a box that is not healthy is of a kind.
func (a *Answer) leadIs(k fault.Kind) bool {
	d := a.Diagnosis
	return d != nil && !d.Healthy && len(d.Causes) > 0 && len(d.Causes[0].Faults) > 0 &&
		d.Causes[0].Faults[0].Kind == k
}

// Finished reports whether the inspection is done: the box is judged, nothing more is to be
// read, no cause is left to repair, and everything was looked for that the options ask for.
// [Answer.Reason] says why.
func (a *Answer) Finished() bool {
	a = a.orEmpty()
	// Without a diagnosis nothing was found because nothing was sought. Of a box that is not
	// healthy, one dialling that later ones have set right leaves nothing to do.
	return a.Next.Act == fault.ActNothing && !a.Incomplete && a.Diagnosis != nil &&
		(a.Diagnosis.Healthy || a.leadIs(fault.KindDialling))
}

// Reason says in a sentence why the inspection is finished, or what it waits for.
func (a *Answer) Reason() string {
	a = a.orEmpty()
	switch {
	case a.Finished() && !a.Diagnosis.Healthy:
		return "Finished: every dial has been read, one dialling differed and later ones do not, " +
			"and no further reading is needed."
	case a.Finished():
		return "Finished: every dial has been read, no fault shows, and no further reading is " +
			"needed."
	case len(a.Report.Rows) == 0:
		return "Not finished: nothing has been read yet."
	case slices.ContainsFunc(a.Report.Implausible,
		func(f verify.Finding) bool { return f.Stage == lastStage(a.Report) }):
		return "Not finished: a reading is not plausible, and results that depend on it are not " +
			"judged."
	case a.Diagnosis == nil:
		return "Not finished: " + reason(a.NoDiagnosis) + "."
	// Finished has seen the same step with everything looked for.
	case a.Next.Act == fault.ActNothing && a.Incomplete:
		return "Not finished: the search has not covered two faults at once yet."
	case a.leadIs(fault.KindUnexplained):
		return "Not finished: none of the faults that are searched for explains the readings. " +
			"Check the record, then take all readings once more."
	case a.Next.Act.IsReading() && a.Diagnosis.Healthy:
		return "Not finished: a dial has not been read, or one more reading would remove a doubt."
	case a.Next.Act.IsReading():
		return "Not finished: one more reading can separate the remaining causes."
	}
	return "Not finished: readings at the terminals tell no more. Work on the box, then read it " +
		"as left."
}

// Cautions returns the cautions of what the answer advises, each once, in the order in which
// they are needed. The last one is that local codes come first.
func (a *Answer) Cautions() []string {
	a = a.orEmpty()
	var out []string
	var last []string // what stands at the end of the lists
	addNew := func(list []string) {
		for i, c := range list {
			switch {
			case slices.Contains(out, c) || slices.Contains(last, c):
			case i == len(list)-1: // every list ends with the local codes
				last = append(last, c)
			default:
				out = append(out, c)
			}
		}
	}
	addNew(a.Next.Cautions)
	if c := a.repaired(); c != nil {
		addNew(c.Repair.Cautions)
	}
	return append(out, last...)
}

// majority is the probability from which the repair of a cause is told: no other cause can be as
// probable then. Below it most boxes so repaired would have the work done on a healthy part.
const majority = 0.5

// repaired is the cause whose repair is told: the first, once it is the likeliest of all
// and no reading can divide it further.
func (a *Answer) repaired() *fault.Cause {
	d := a.Diagnosis
	if d == nil || d.Healthy || len(d.Causes) == 0 {
		return nil
	}
	c := &d.Causes[0]
	// A repair of one of several causes may be one of a healthy part.
	if c.Probability < majority || len(c.Repair.Steps) == 0 || a.Next.Act.IsReading() &&
		len(c.Equal) > 0 {
		return nil
	}
	return c
}

// What the sentences leave out stands in the diagnosis, which has all causes.
const (
	mostCauses   = 3    // that are told
	worthTelling = 0.01 // probability of a cause; that of a sound box is told up to 1 less this
	mostSettings = 6    // at which a cause shows: a line of a box with six dials
)

// Causes says what may be wrong, most probable first, a sentence or two each: up to three
// causes of at least 1 %. A probability is stated in words, and never as more than 99 %.
func (a *Answer) Causes() []string {
	a = a.orEmpty()
	d := a.Diagnosis
	switch {
	case len(a.Report.Rows) == 0 && d == nil:
		return []string{"No cause can be named yet: nothing has been read."}
	case d == nil:
		return []string{"No cause can be named yet: " + reason(a.NoDiagnosis) + "."}
	case a.Incomplete:
		return append(a.causes(), "The search has not covered two faults at once yet.")
	}
	return a.causes()
}

// causes are the sentences of a diagnosis, one for each cause, most probable first. A box that is
// probably sound has them too, after a sentence that says so: 90 % leaves one box in ten.
func (a *Answer) causes() []string {
	d := a.Diagnosis
	var out []string
	switch {
	case d.Healthy && d.Probability > 1-worthTelling:
		return []string{"No fault: a healthy box explains the readings best (" +
			wording.Probability(d.Probability) + ")."}
	case d.Healthy:
		out = append(out,
			"Probably no fault ("+wording.Probability(d.Probability)+"). The likeliest faults "+
				"all the same:")
	}
	for i, c := range d.Causes {
		if i == mostCauses || c.Probability < worthTelling {
			break
		}
		text := c.String()
		// The settings of the first cause are what one dials to see it; of others they would
		// only confuse.
		if i == 0 && len(c.Settings) > 0 {
			text += " It shows at " +
				wording.Settings(c.Settings[:min(mostSettings, len(c.Settings))]) + "."
		}
		out = append(out, text)
	}
	// Chance is an answer, too, and stands behind the causes with its probability.
	if !d.Healthy && d.Probability >= worthTelling {
		out = append(out,
			wording.Upper(wording.Probability(d.Probability))+": no fault, only chance.")
	}
	return out
}

// reason is an error in the words of its cause, without the name of the function, which a reader
// of the answer has never called, and without a full stop, since it stands inside a sentence.
func reason(err error) string {
	if e, ok := errors.AsType[*Error](err); ok && e.Err != nil {
		return strings.TrimSuffix(e.Err.Error(), ".")
	}
	return strings.TrimSuffix(fmt.Sprint(err), ".")
}

// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package inspect

// An Inspection holds one pointer to what there is to know at present, a moment. A change makes
// another moment beside it and puts it in its place, so that those who ask never see half a change
// and never wait for one.
//
// Two locks: adding orders changes among each other and is held while readings are evaluated; mu
// guards the fields and is held for a few instructions. Whoever needs both takes adding first.
// Fields other than now are set once, before the first moment is there: whoever has seen a moment
// under mu may read them without it.
//
// Diagnoses take long (milliseconds to seconds), and are made when somebody asks, once for each
// moment. Those with single faults and those with pairs are kept apart, since the first are there
// long before the second. Of two goroutines that ask at once one computes and the other waits for
// it, or for the end of its own context: that is why the turn is a channel and no mutex.
//
// Cost of one reading more of n: its evaluation (see [verify.Report.Reevaluate]) and a copy of n
// headers of readings. The old list is never appended to in place, because earlier moments, and
// the reports in answers that were given, have it still.

import (
	"context"
	"slices"
	"sync"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/fault"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty/conformity"
	"example.com/ohmwright/uncertainty/unit"
)

// An Inspection is the inspection of one box while its readings come in: it takes them one by
// one or many at once, and has an [Answer] at any time. What it says follows from its readings
// alone, in their order, and not from the calls that brought them: added one by one they give
// the answer of [New] on the report of all.
//
// [NewInspection] makes one, and so does UnmarshalJSON from what MarshalJSON wrote. The zero
// Inspection has no box: it takes no readings, and its answers are errors.
//
// Any number of goroutines may use an Inspection at once: some add what an instrument sends,
// others ask for answers. An answer is of all readings that had been added when it was asked
// for. An Inspection must not be copied.
type Inspection struct {
	adding sync.Mutex    // held by what changes the readings
	mu     sync.Mutex    // guards the rest
	box    *decade.Box   // nil: the zero Inspection
	meter  *verify.Meter // a copy that nobody else has
	rule   conformity.Rule
	faults fault.Options // Circuit is never nil: diagnoses share it
	now    *moment       // nil: the zero Inspection
}

// NewInspection begins the inspection of a box with a meter: no reading has been taken yet. The
// rule judges the settings; the options say how causes are looked for, and the zero options
// are those of fault.Diagnose. Their Progress is called by the goroutine that asks for an
// answer. A box, meter, rule or options that make no sense are an error.
func NewInspection(b *decade.Box, m *verify.Meter, rule conformity.Rule,
	o fault.Options) (*Inspection, error) {
	in := &Inspection{}
	if err := in.begin("inspect.NewInspection", b, m, rule, o); err != nil {
		return nil, err
	}
	return in, nil
}

// begin sets the fields of an Inspection that nobody else has yet. Each argument is checked here,
// long before its first use, so that the error names the argument and not a reading.
func (in *Inspection) begin(op string, b *decade.Box, m *verify.Meter, rule conformity.Rule,
	o fault.Options) error {
	if b == nil || b.NumDecades() == 0 {
		return &Error{Op: op, Name: "box", Err: unit.Errorf(ErrEmpty, "none; expected the box to "+
			"be inspected")}
	}
	if err := m.Check(); err != nil {
		return err
	}
	if err := rule.Check(); err != nil {
		return err
	}
	if err := o.Check(); err != nil {
		return err
	}
	// The meter of the caller may change; the copy that a report keeps does not.
	own := *m
	own.Ranges = slices.Clone(m.Ranges)
	if o.Circuit == nil {
		// Most of what a diagnosis prepares depends on the box and on what was dialled before.
		o.Circuit = new(fault.Circuit)
	}
	in.box, in.meter, in.rule, in.faults = b, &own, rule, o
	in.now = in.without()
	return nil
}

// Box returns the box that is inspected.
func (in *Inspection) Box() *decade.Box {
	if in == nil {
		return nil
	}
	in.mu.Lock()
	defer in.mu.Unlock()
	return in.box
}

// moment is what there is to know between two changes of the readings. It does not change, except
// that what was computed of it once stays.
type moment struct {
	readings []verify.Reading // all, known resistors that still wait included
	report   *verify.Report   // never nil; of readings without those that wait
	over     chan struct{}    // closed when other readings take its place

	singles, all finding // with one fault at a time; with as many as the options ask for
}

// finding is a diagnosis that is computed when it is first asked for.
type finding struct {
	turn chan struct{} // holds one token: whoever has it computes
	mu   sync.Mutex
	done bool
	d    *fault.Diagnosis // nil with done: err says why
	err  error            // why nothing can be said of causes
}

// newMoment is a moment that nobody has asked yet: each finding has its token in turn.
func newMoment(readings []verify.Reading, r *verify.Report) *moment {
	m := &moment{readings: readings, report: r, over: make(chan struct{})}
	for _, f := range []*finding{&m.singles, &m.all} {
		f.turn = make(chan struct{}, 1)
		f.turn <- struct{}{}
	}
	return m
}

// without is the moment before the first reading of the box; of known resistors, which wait for
// it, there may be some. Its report is no report of verify.Evaluate: it has no rows.
func (in *Inspection) without(known ...verify.Reading) *moment {
	return newMoment(known, &verify.Report{Box: in.box, Meter: *in.meter, Rule: in.rule})
}

// Add takes readings of the box, and of known resistors in its place. Their settings must be
// of the box. Readings that make no sense, by themselves or with those before, are an error
// that names the reading; then none of them is taken.
//
// A reading of a known resistor corrects the readings of its session, and waits for the first
// of them.
func (in *Inspection) Add(readings ...verify.Reading) error {
	own := copies(readings)
	return in.change("inspect.Inspection.Add", func(before []verify.Reading) []verify.Reading {
		return slices.Concat(before, own)
	})
}

// copies are readings that share no memory with what the caller has.
func copies(readings []verify.Reading) []verify.Reading {
	out := slices.Clone(readings)
	for i := range out {
		r := &out[i]
		r.Values, r.Reversed = slices.Clone(r.Values), slices.Clone(r.Reversed)
		r.Turned, r.Known = slices.Clone(r.Turned), pointee(r.Known)
		r.Temperature, r.MeterTemperature = pointee(r.Temperature), pointee(r.MeterTemperature)
	}
	return out
}

// pointee copies what an optional field points to; nil stays nil.
func pointee[T any](p *T) *T {
	if p == nil {
		return nil
	}
	return new(*p)
}

// Undo takes back the last reading and returns it; false: there is none.
func (in *Inspection) Undo() (last verify.Reading, ok bool) {
	err := in.change("inspect.Inspection.Undo", func(before []verify.Reading) []verify.Reading {
		n := len(before)
		if n == 0 {
			return before
		}
		last, ok = copies(before[n-1:])[0], true
		// The capacity ends there, so that the next reading does not write over what others see.
		return before[: n-1 : n-1]
	})
	return last, ok && err == nil
}

// Readings returns the readings so far, in the order in which they were added.
func (in *Inspection) Readings() []verify.Reading {
	m := in.moment()
	if m == nil {
		return nil
	}
	return copies(m.readings)
}

// Report returns what the readings say without causes: facts and verdicts. It is there as soon
// as Add returns, and shared: nobody may change it. It is nil for an Inspection without a box.
func (in *Inspection) Report() *verify.Report {
	m := in.moment()
	if m == nil {
		return nil
	}
	return m.report
}

// moment is what there is to know now; nil for an Inspection that is nil or has no box.
func (in *Inspection) moment() *moment {
	if in == nil {
		return nil
	}
	in.mu.Lock()
	defer in.mu.Unlock()
	return in.now
}

// change puts other readings in the place of those there are, if they make sense: to returns them,
// sharing what stays. After an error everything is as it was. A change is known by the number of
// readings, since to only adds or takes away.
func (in *Inspection) change(op string, to func(before []verify.Reading) []verify.Reading) error {
	if in.moment() == nil {
		return noBox(op)
	}
	in.adding.Lock()
	defer in.adding.Unlock()
	// Evaluation may take a while: mu stays free for those who ask, adding keeps the order.
	before := in.moment()
	readings := to(before.readings)
	if len(readings) == len(before.readings) {
		return nil
	}
	next, err := in.evaluated(before, readings)
	if err != nil {
		return err
	}
	in.mu.Lock()
	in.now = next
	in.mu.Unlock()
	// A search in the readings of before has nothing to say any more.
	close(before.over)
	return nil
}

// evaluated is the moment of other readings. The report before serves what has not changed.
func (in *Inspection) evaluated(before *moment, readings []verify.Reading) (*moment, error) {
	used := withSession(readings)
	if len(used) == 0 {
		// Known resistors alone are checked when there is something to correct.
		return in.without(readings...), nil
	}
	var r *verify.Report
	var err error
	if len(before.report.Rows) == 0 {
		r, err = verify.Evaluate(in.box, in.meter, used, in.rule)
	} else {
		r, err = before.report.Reevaluate(used)
	}
	if err != nil {
		return nil, err
	}
	return newMoment(readings, r), nil
}

// withSession leaves out readings of known resistors in a session of which nothing of the box was
// read yet: there is nothing that they could correct.
func withSession(readings []verify.Reading) []verify.Reading {
	sessions := make(map[string]bool)
	for i := range readings {
		if r := &readings[i]; r.Known == nil {
			sessions[r.Session] = true
		}
	}
	waits := func(r verify.Reading) bool {
		// A known resistor without a session belongs to the only one.
		return r.Known != nil && !sessions[r.Session] && (r.Session != "" || len(sessions) == 0)
	}
	if !slices.ContainsFunc(readings, waits) {
		return readings
	}
	return slices.DeleteFunc(slices.Clone(readings), waits)
}

// noBox is the error of an Inspection that NewInspection did not make.
func noBox(op string) error {
	return &Error{Op: op, Name: "box", Err: unit.Errorf(ErrEmpty, "none; expected an inspection "+
		"made by NewInspection")}
}

// Answer says what the readings say so far, with single faults as causes. Two faults at once take
// longer and are in it as soon as [Inspection.Complete] has looked for them in these readings;
// until then the answer is marked as incomplete. It is an error if the inspection has no box or
// the context ends.
func (in *Inspection) Answer(ctx context.Context) (*Answer, error) {
	const op = "inspect.Inspection.Answer"
	m := in.moment()
	switch {
	case m == nil:
		return nil, noBox(op)
	case ctx == nil:
		return nil, noContext(op)
	case m.all.isDone():
		return in.assemble(ctx, m, true)
	}
	return in.assemble(ctx, m, false)
}

// Complete returns the Answer after a search for everything that the options ask for, two faults
// at once unless they say one: in most boxes that takes a fraction of a second, in some a few
// seconds. It may run in a goroutine of its own while readings come in. New readings make it begin
// again, so that its answer is of all readings there are when it returns; while they come faster
// than it searches it waits for a pause. When the context ends it returns an error within 20 ms.
func (in *Inspection) Complete(ctx context.Context) (*Answer, error) {
	const op = "inspect.Inspection.Complete"
	if ctx == nil {
		return nil, noContext(op)
	}
	for {
		m := in.moment()
		if m == nil {
			return nil, noBox(op)
		}
		a, err := in.completeOne(ctx, m)
		select {
		case <-m.over:
			if ctx.Err() != nil {
				return nil, ctx.Err()
			}
		default:
			return a, err
		}
	}
}

// completeOne searches for as long as the readings stay the same; then its error is that of a
// context that ended, which Complete tells from its caller's. The goroutine that watches the
// moment ends with the search.
func (in *Inspection) completeOne(ctx context.Context, m *moment) (*Answer, error) {
	// New readings end this search and not the context of the caller.
	search, cancel := context.WithCancel(ctx)
	defer cancel()
	go func() {
		select {
		case <-m.over:
			cancel()
		case <-search.Done():
		}
	}()
	return in.assemble(search, m, true)
}

// assemble makes the answer of a moment: with everything that the options ask for, or else with
// single faults, which is the same where they ask for no more.
//
//	options    whole   faults searched   Incomplete
//	one        either  one               no
//	pairs      no      one               yes, if there is a diagnosis at all
//	pairs      yes     one and two       no
func (in *Inspection) assemble(ctx context.Context, m *moment, whole bool) (*Answer, error) {
	o := in.options()
	pairs := o.Faults != 1
	f := &m.all
	// Where the options ask for single faults, they are all there is.
	if !whole && pairs {
		o.Faults, f = 1, &m.singles
	}
	d, why, err := f.diagnosisOf(ctx, m.report, o)
	if err != nil {
		return nil, err
	}
	a := &Answer{Report: m.report, Diagnosis: d, NoDiagnosis: why, Incomplete: f == &m.singles &&
		d != nil}
	a.Next = a.next()
	return a, nil
}

// options are those of NewInspection, a copy that the caller may change.
func (in *Inspection) options() fault.Options {
	in.mu.Lock()
	defer in.mu.Unlock()
	return in.faults
}

// diagnosisOf returns the diagnosis, which is computed once; why is set where the readings allow
// none, and is kept as well. A search that the context ended is not kept: the next who asks
// begins it again. The error is that of the context or of the options.
func (f *finding) diagnosisOf(ctx context.Context, r *verify.Report,
	o fault.Options) (d *fault.Diagnosis, why, err error) {
	select {
	case <-f.turn:
		defer func() { f.turn <- struct{}{} }()
	case <-ctx.Done():
		return nil, nil, ctx.Err()
	}
	if f.isDone() {
		return f.d, f.err, nil
	}
	d, err = o.Diagnose(ctx, r)
	// Too few readings are an answer that stays the same, a context that ended is none.
	if tooFew(err) {
		why, err = err, nil
	}
	if err != nil {
		return nil, nil, err
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	f.d, f.err, f.done = d, why, true
	return d, why, nil
}

// isDone reports whether the diagnosis is there, without waiting for whoever computes it.
func (f *finding) isDone() bool {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.done
}

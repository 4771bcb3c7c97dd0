// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"cmp"
	"context"
	"errors"
	"math"
	"runtime"
	"slices"

	"example.com/ohmwright/uncertainty/internal/orderstat"
	"example.com/ohmwright/uncertainty/internal/tape"
	"example.com/ohmwright/uncertainty/unit"
)

// The causes of errors and warnings of a Monte Carlo run, for errors.Is.
var (
	ErrTrials     = errors.New("too few trials")
	ErrInvalid    = errors.New("trials without a finite result")
	ErrNotSettled = errors.New("results not stable at the greatest number of trials")
	ErrNoMoments  = errors.New("distribution without a standard deviation")
)

// MonteCarlo propagates distributions by simulation (JCGM 101, and JCGM 102 for
// several measurands). The zero value is ready for use: a million trials, seed 0,
// 95 % coverage.
//
// Every input is drawn from its own distribution: the t-distribution where readings
// or degrees of freedom were given (JCGM 101 6.4.9), jointly where inputs are
// correlated. The result depends on Seed and Trials and not on Workers: the same bits
// come out for any number of them. They are also the same on every processor for models made of
// the functions and the distributions of this package; a function given to [Call] and other
// distributions may differ in the last bit between processors, as package math does.
//
// Each output is corrected by a [Twin] where that helps, and a linear model is convolved: see
// "How twins work", in the comment of the package. The bits of a twin are the same wherever
// those of the model are.
//
// A run keeps the outer part of each output, about 2(1−p) of its trials, for exact
// order statistics: about 2 bytes a trial at p = 0.95. With Digits, Quantiles or
// Regions, and for runs of a few ten thousand trials, it keeps every trial, 8 bytes
// for each output and 8 for its twin. Nothing else grows with the number of trials.
type MonteCarlo struct {
	Trials   int     // 0: 1 000 000; with Digits: the greatest number, see there
	Seed     uint64  // of the random numbers
	Workers  int     // goroutines; 0: as many as GOMAXPROCS
	Coverage float64 // coverage probability of the intervals; 0: 0.95

	// Digits > 0 asks for as many trials as make that number of significant digits
	// of the standard uncertainty stable (the adaptive procedure of JCGM 101 7.9, with ten
	// batches at least and 2.5 standard deviations): estimate, standard uncertainty and
	// both ends of the symmetric interval of every output. Trials then is the greatest number,
	// 0: 10 000 000; if it does not suffice, the simulation warns ([ErrNotSettled]), and fewer
	// than two batches, of 10 240 trials each at 95 %, are refused ([ErrTrials]).
	Digits int

	// MaxInvalid is the share of trials that may be without a finite result, such as
	// the root of a negative number: 0 by default. They are left out and counted; a
	// larger share is an error ([ErrInvalid]).
	MaxInvalid float64

	// Twin is the control variate that corrects the trials of each output: where it helps by
	// default, see [Twin], or [TwinOff].
	Twin TwinMode

	Quantiles []float64 // probabilities 0 < p < 1 of which quantiles are wanted too
	Bins      int       // of each histogram; 0: 100
	Regions   bool      // coverage regions of JCGM 102, for two or more outputs

	// Progress is called now and then, by one goroutine at a time, with the number of
	// trials done and planned.
	Progress func(done, planned int)
}

// Run simulates the measurands ys together. It returns early, with the cause of the
// context, when ctx is done: within a block of trials, or within one call of a
// function given to [Call]. A panic in such a function reaches the caller of Run.
func (m MonteCarlo) Run(ctx context.Context, ys ...Quantity) (*Simulation, error) {
	m, err := m.withDefaults()
	if err != nil {
		return nil, refused("uncertainty.MonteCarlo", "", err)
	}
	if ctx == nil {
		ctx = context.Background()
	}
	r, err := m.prepare(ys)
	if err != nil {
		return nil, err
	}
	// The memory of the model goes back for the next evaluation, whatever happens.
	defer r.model.free()
	r.done = ctx.Done()
	var sim *Simulation
	switch {
	case m.Digits > 0:
		sim, err = r.adaptive(ctx)
	default:
		sim, err = r.fixed(ctx)
	}
	if ctx.Err() != nil {
		err = canceled(ctx) // perhaps while sorting
	}
	if err != nil {
		return nil, err
	}
	if err := r.checkResolved(sim); err != nil {
		return nil, err
	}
	sim.stateUnits()
	sim.checkMoments(r.warnings, r.poles)
	sim.Warnings = append(r.warnings, sim.Warnings...)
	return sim, nil
}

// The defaults of a run. A million trials give a 95 % interval to one or two digits (JCGM 101 7.2);
// ten million, one half of a digit more, take 80 MB for each output and as much for a twin. 0.95 is
// the coverage probability of the examples of the guides.
const (
	defaultCoverage = 0.95
	defaultTrials   = 1_000_000
	greatestTrials  = 10_000_000 // with Digits
	defaultBins     = 100
)

// withDefaults fills in the defaults and refuses what makes no sense.
func (m MonteCarlo) withDefaults() (MonteCarlo, error) {
	m.Coverage = cmp.Or(m.Coverage, defaultCoverage)
	if err := m.checkSettings(); err != nil {
		return m, err
	}
	m.Quantiles = slices.Clone(m.Quantiles) // the caller may change his own while the run is on
	trials := defaultTrials
	if m.Digits > 0 {
		trials = greatestTrials
	}
	m.Trials, m.Bins = cmp.Or(m.Trials, trials), cmp.Or(m.Bins, defaultBins)
	// As many as may run at once; the result does not depend on it.
	m.Workers = cmp.Or(m.Workers, runtime.GOMAXPROCS(0))
	return m, m.checkTrials()
}

// checkSettings refuses what is wrong by itself, in the order of the fields that most runs state.
func (m MonteCarlo) checkSettings() error {
	if err := probability(m.Coverage); err != nil {
		return err
	}
	for _, p := range m.Quantiles {
		if !(p > 0 && p < 1) {
			return unit.Errorf(ErrDomain,
				"probability of a quantile is %v; expected more than 0 and less than 1", p)
		}
	}
	if err := share("MaxInvalid", m.MaxInvalid, "a share of the trials, 0 to 1"); err != nil {
		return err
	}
	for _, v := range []struct {
		name  string
		value int
	}{{"Trials", m.Trials}, {"Workers", m.Workers}, {"Digits", m.Digits}, {"Bins", m.Bins}} {
		if v.value < 0 {
			return unit.Errorf(ErrDomain, "%s is %d; expected 0 or more", v.name, v.value)
		}
	}
	if !twinModes.Has(m.Twin) {
		return unit.Errorf(ErrDomain, "mode of twins is %d; expected auto or off", m.Twin)
	}
	return nil
}

// checkTrials refuses fewer trials than the coverage probability asks for.
func (m MonteCarlo) checkTrials() error {
	// Both ends must be trials (JCGM 101 7.7.2), so that one lies beyond each at least.
	if _, _, ok := orderstat.Ranks(m.Trials, m.Coverage); !ok {
		return unit.Errorf(ErrTrials, "%d trials for a coverage probability of %v; expected "+
			"at least %.0f", m.Trials, m.Coverage, math.Ceil(2/(1-m.Coverage)))
	}
	// The standard deviation over batches (JCGM 101 7.9.4 g) needs two of them.
	if least := 2 * m.batchSize(); m.Digits > 0 && float64(m.Trials) < least {
		return unit.Errorf(ErrTrials, "at most %d trials, with Digits and a coverage "+
			"probability of %v; expected two batches or more, %.0f", m.Trials, m.Coverage, least)
	}
	return nil
}

// run is one simulation under way. The goroutine of Run owns it; while a sweep is on, the workers
// read the settings and the tape, and share sweep and stopper, which guard themselves.
type run struct {
	MonteCarlo              // the settings, defaults filled in
	ys         []Quantity   // measurands, in the order of all that is "by output"
	units      []string     // by output; empty where the model does not tell
	model      *model       // compiled; the choice of twins asks it for slopes and values
	roots      []*node      // of the model, by output
	tape       *tape.Tape   // outputs of ys, then those of the chosen twins
	twins      []twinChoice // by output
	warnings   []error      // found before any trial
	poles      []error      // by output: why it has no standard deviation, or nil
	silent     bool         // no reports of progress
	before     int          // trials of earlier sweeps, for the reports
	team       []*worker    // made by the first sweep that needs them, for the tape of that time
	current    sweep
	stopper
}

// prepare compiles the model and its tape, and collects what is known to be doubtful before any
// trial: laws without moments, divisors that may be 0, few trials. What is wrong below a measurand,
// and a run that the memory cannot hold, are refused.
func (m MonteCarlo) prepare(ys []Quantity) (*run, error) {
	roots, err := rootsOf("MonteCarlo", ys)
	if err != nil {
		return nil, err
	}
	r := &run{MonteCarlo: m, ys: ys, twins: make([]twinChoice, len(ys))}
	if err := r.checkSize(); err != nil {
		return nil, err
	}
	// build, not compile: a corner at the estimates, such as |x| at 0, does not stop a simulation.
	compiled := models.Get().(*model)
	r.model, r.roots = compiled, roots
	if err := compiled.build(roots...); err != nil {
		return nil, err
	}
	for _, root := range roots {
		r.units = append(r.units, compiled.unit(root))
	}
	if r.tape, err = assemble(compiled, roots); err != nil {
		return nil, err
	}
	r.warnings = append(r.warnings, compiled.warnings...)
	r.warnings = append(r.warnings, compiled.drawFindings(r.tape)...)
	r.poles = make([]error, len(roots))
	for i, root := range roots {
		r.poles[i] = compiled.poleFinding(root, "uncertainty.MonteCarlo", ErrNoMoments,
			compiled.lines(compiled.place(root)))
		if r.poles[i] == nil && !slices.ContainsFunc(r.warnings, isNoMoments) {
			r.poles[i] = compiled.tailFinding(root, "uncertainty.MonteCarlo")
		}
	}
	// JCGM 101 7.9.4 b) takes that many for one batch of the adaptive procedure.
	if least := max(10_000, int(math.Ceil(100/(1-m.Coverage)))); m.Trials < least && m.Digits == 0 {
		r.warnings = append(r.warnings, &Error{Op: "uncertainty.MonteCarlo",
			Value: float64(m.Trials),
			Err: unit.Errorf(ErrTrials, "%d trials: end points of the intervals are uncertain; "+
				"expected %d or more", m.Trials, least)})
	}
	return r, nil
}

// isNoMoments reports whether a warning is that of an input without a standard deviation.
func isNoMoments(err error) bool { return errors.Is(err, ErrNoMoments) }

// mostKept is the room in bytes that a run may ask for: what would surely exhaust the
// machine is refused. 64 GiB are more than a bench computer has; with 32 bits an address reaches
// 4 GiB, of which the slices of a run, copied once while they grow, get an eighth each.
const mostKept = min(1<<36, math.MaxInt/4)

// checkSize estimates what the trials take: 8 bytes for each that is kept. The twins, which are
// not chosen yet, and the room of the sort come on top of that: within a factor of three.
func (r *run) checkSize() error {
	bytes := 8 * float64(r.Trials) * float64(len(r.ys))
	if r.Digits == 0 && len(r.Quantiles) == 0 && !r.Regions {
		// Both tails and the margin of the pilot, see newStream.
		bytes *= min(1, 3*(1-r.Coverage))
	}
	if bytes > mostKept {
		return &Error{Op: "uncertainty.MonteCarlo", Value: float64(r.Trials),
			Err: unit.Errorf(ErrDomain, "%d trials of %d outputs would keep %.0f MB; expected at "+
				"most %.0f", r.Trials, len(r.ys), bytes/1e6, float64(mostKept)/1e6)}
	}
	return nil
}

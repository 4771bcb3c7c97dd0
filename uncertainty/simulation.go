// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"cmp"
	"encoding/json"
	"iter"
	"math"
	"strings"

	"gonum.org/v1/gonum/mat"

	"example.com/ohmwright/uncertainty/internal/orderstat"
	"example.com/ohmwright/uncertainty/unit"
)

// A Simulation is the result of [MonteCarlo.Run].
type Simulation struct {
	Trials     int           // that were made
	Invalid    int           // of them without a finite result, left out
	Outputs    []Output      // in the order of the measurands
	Covariance *mat.SymDense // of the outputs

	// With Regions, the coverage regions of JCGM 102 at the coverage probability of
	// the run, from the trials themselves; else nil.
	Ellipse   *Ellipse
	Rectangle *Rectangle
	Smallest  *Region // two outputs only

	Warnings []error
}

// Correlation returns the correlation coefficient of outputs i and j, counted from 0; it
// is 0 where one of them does not vary. It is an error where there is no such output, and where a
// variance is below the smallest number with all digits ([ErrRange]).
func (s *Simulation) Correlation(i, j int) (float64, error) {
	s = cmp.Or(s, &Simulation{})
	u := func(k int) float64 { return s.Outputs[k].StandardUncertainty }
	return correlation("Simulation.Correlation", s.Covariance, len(s.Outputs), u, i, j)
}

// MarshalJSON writes every figure in full precision, the covariance matrix by rows and
// warnings as texts. Regions other than their factors are left out.
// examples/formats/README.md lists the keys.
func (s Simulation) MarshalJSON() ([]byte, error) {
	out := struct {
		Trials     int         `json:"trials"`
		Invalid    int         `json:"invalid"`
		Outputs    []Output    `json:"outputs"`
		Covariance [][]float64 `json:"covariance"`
		Ellipse    float64     `json:"ellipseFactor,omitempty"`
		Rectangle  float64     `json:"rectangleFactor,omitempty"`
		Warnings   []string    `json:"warnings,omitempty"`
	}{Trials: s.Trials, Invalid: s.Invalid, Outputs: s.Outputs}
	if s.Covariance != nil {
		for i := range s.Covariance.SymmetricDim() {
			out.Covariance = append(out.Covariance, mat.Row(nil, i, s.Covariance))
		}
	}
	// The factors say how large the regions are; their matrices follow from the covariance.
	if s.Ellipse != nil && s.Rectangle != nil {
		out.Ellipse, out.Rectangle = s.Ellipse.K, s.Rectangle.K
	}
	out.Warnings = texts(s.Warnings)
	return json.Marshal(out)
}

// An Output is the simulated distribution of one measurand.
type Output struct {
	Name                string  `json:"name,omitempty"`
	Unit                string  `json:"unit,omitempty"`
	Estimate            float64 `json:"estimate"`            // mean of the trials (JCGM 101 7.6)
	StandardUncertainty float64 `json:"standardUncertainty"` // standard deviation of the trials

	Coverage  float64  `json:"coverageProbability"` // of the intervals
	Symmetric Interval `json:"symmetric"`           // equal tails (JCGM 101 7.7.2)
	Shortest  Interval `json:"shortest"`            // the shortest interval (JCGM 101 7.7.4)

	Quantiles []float64 `json:"quantiles,omitempty"` // at the probabilities that were asked for
	Histogram Histogram `json:"histogram"`

	// Sampling is the standard uncertainty of the figures above that comes from the
	// limited number of trials.
	Sampling Sampling `json:"sampling"`

	// Twin says whether the figures were corrected by a control variate, and what that
	// is worth.
	Twin Twin `json:"twin,omitzero"`

	momentless bool             // an input has no standard deviation
	trials     orderstat.Trials // those kept
	pilot      []float64        // the first trials in rising order, where not all were kept
	by         scaling          // of the sums that follow: Σd, Σd², Σd⁴
	powers     [3]float64
	miss       *missed  // by which the trials are corrected, or nil
	law        *twinLaw // of a linear model, about origin, or nil
	origin     float64
}

// Sampling is the standard uncertainty of simulated figures, from the number of
// trials alone, after the correction by a [Twin]. Another seed moves them by about as much.
type Sampling struct {
	Estimate            float64 `json:"estimate"`            // u/√M
	StandardUncertainty float64 `json:"standardUncertainty"` // by 4th moment; u/√(2M) if normal
	Lower               float64 `json:"lower"`               // end of the symmetric interval
	Upper               float64 `json:"upper"`
}

// String returns name, estimate, standard uncertainty and the symmetric interval, the ends to
// the second significant digit of half its width. Without a standard uncertainty (see
// [Output.HasStandardUncertainty]) it is the interval alone. What a twin did follows in
// brackets ([Twin.String]).
func (o Output) String() string {
	var b strings.Builder
	if o.Name != "" {
		b.WriteString(o.Name + " = ")
	}
	if o.HasStandardUncertainty() {
		b.WriteString(withUnit(FormatConcise(o.Estimate, o.StandardUncertainty, 2), o.Unit) + ", ")
	}
	b.WriteString(unit.Percent(o.Coverage) + " %: " + o.Symmetric.text(o.Unit))
	if twin := o.Twin.String(); twin != "" {
		b.WriteString(" (" + twin + ")")
	}
	return b.String()
}

// A Histogram counts trials in bins of one width, in the unit of the output. The bins
// span nearly all trials; those beyond are counted in Below and Above. The ends of the
// range follow from trials and not from the distributions: they depend on the seed.
type Histogram struct {
	Lower  float64 `json:"lower"` // edge of the first bin
	Width  float64 `json:"width"` // of each bin
	Counts []int   `json:"counts"`
	Below  int     `json:"below"` // trials outside all bins
	Above  int     `json:"above"`
}

// Bins returns each bin as its interval and the probability density in it, from
// below: the share of all trials divided by the width of the bin, in the inverse of the
// unit of the output. Of an output that does not vary it is infinite in the bin that
// holds the trials, and 0 in the others.
func (h Histogram) Bins() iter.Seq2[Interval, float64] {
	return func(yield func(Interval, float64) bool) {
		total := h.Below + h.Above
		for _, c := range h.Counts {
			total += c
		}
		for i, c := range h.Counts {
			bin := Interval{Lower: h.Lower + float64(float64(i)*h.Width),
				Upper: h.Lower + float64(float64(i+1)*h.Width)}
			// An output that does not vary has bins of width 0: only the one with trials divides
			// by it.
			density := 0.0
			if c > 0 {
				density = float64(c) / float64(total) / h.Width
			}
			if !yield(bin, density) {
				return
			}
		}
	}
}

// simulation fills in what the sums say.
func (r *run) simulation(trials int, total *sums, p pilot) (*Simulation, error) {
	means, us, c := total.moments(p)
	sim := &Simulation{Trials: trials, Invalid: trials - total.n, Covariance: c,
		Outputs: make([]Output, len(means))}
	for i := range sim.Outputs {
		u := us[i]
		// Sums of finite values may overflow.
		for _, v := range []float64{means[i], u, c.At(i, i)} {
			if err := number("moment of the trials", v); err != nil {
				return nil, refused("uncertainty.MonteCarlo", r.ys[i].Name(), err)
			}
		}
		bins := total.bins(i)
		sim.Outputs[i] = Output{
			Name: r.ys[i].Name(), Unit: r.units[i], Estimate: means[i], StandardUncertainty: u,
			Histogram: Histogram{Lower: p[i].grid.lower, Width: p[i].grid.width,
				// The first and the last count are of what lies outside the bins.
				Counts: bins[1 : len(bins)-1], Below: bins[0], Above: bins[len(bins)-1]},
			// JCGM 101 7.6: the mean of M draws
			Sampling: Sampling{Estimate: u / math.Sqrt(float64(total.n)),
				StandardUncertainty: total.spreadOfU(i, u, p[i].scaling)},
			by: p[i].scaling, powers: total.powersOf(i),
		}
	}
	if sim.Invalid > 0 {
		sim.Warnings = append(sim.Warnings, &Error{Op: "uncertainty.MonteCarlo",
			Value: float64(sim.Invalid),
			Err: unit.Errorf(ErrInvalid, "%d of %d trials had no finite result and were left "+
				"out: intervals and moments are those of the others", sim.Invalid, trials)})
	}
	return sim, nil
}

// finish corrects the figures of all outputs, whose trials are in order.
func (r *run) finish(sim *Simulation, total *sums, p pilot) {
	for i := range sim.Outputs {
		o, t := &sim.Outputs[i], &r.twins[i]
		// Where the linear model is convolved there is nothing left to correct.
		switch c := p[i].control; {
		case t.kind == TwinExact:
			o.exactly(t.law, t.origin, r.MonteCarlo)
		case c == nil:
			o.Twin.Reason = t.reason
		// A twin knows nothing about trials without a result, and would count them.
		case sim.Invalid > 0:
			o.Twin.Reason = reasonInvalid
		default:
			o.correct(c, &total.twins[i], total.n, r.MonteCarlo)
		}
	}
	// The corrected standard uncertainties belong on the diagonal.
	sim.scaleCovariance()
}

// stateUnits gives the intervals of all outputs and regions their units.
func (s *Simulation) stateUnits() {
	for i := range s.Outputs {
		o := &s.Outputs[i]
		o.Symmetric.Unit, o.Shortest.Unit = o.Unit, o.Unit
		if s.Rectangle != nil {
			s.Rectangle.Sides[i].Unit = o.Unit
		}
	}
	if s.Smallest != nil {
		s.Smallest.X.Unit, s.Smallest.Y.Unit = s.Outputs[0].Unit, s.Outputs[1].Unit
	}
}

// order fills in what the ordered trials say.
func (o *Output) order(t orderstat.Trials, m MonteCarlo) {
	// q is the number of trials inside the interval, r the rank of its lower end (JCGM 101
	// 7.7.2).
	q, r, _ := orderstat.Ranks(t.N, m.Coverage)
	o.Coverage, o.trials = m.Coverage, t
	symmetric, shortest := t.Symmetric(m.Coverage), t.Shortest(m.Coverage)
	o.Symmetric = Interval{Lower: symmetric.Lower, Upper: symmetric.Upper}
	o.Shortest = Interval{Lower: shortest.Lower, Upper: shortest.Upper}
	o.Sampling.Lower, o.Sampling.Upper = t.Spread(r), t.Spread(r+q)
	for _, p := range m.Quantiles {
		o.Quantiles = append(o.Quantiles, t.Quantile(p))
	}
}

// checkInvalid refuses too large a share of invalid trials, and too few that remain.
func (r *run) checkInvalid(trials, invalid int) error {
	// A share above MaxInvalid is no accident of rounding: the model does not fit the laws.
	if share := float64(invalid) / float64(trials); share > r.MaxInvalid || invalid == trials {
		return &Error{Op: "uncertainty.MonteCarlo", Value: share,
			Err: unit.Errorf(ErrInvalid, "%d of %d trials have no finite result (a share of "+
				"%.3g); expected a share of at most %v, see MaxInvalid", invalid, trials, share,
				r.MaxInvalid)}
	}
	// As many must be left as an interval of this coverage needs.
	if _, _, ok := orderstat.Ranks(trials-invalid, r.Coverage); !ok {
		return &Error{Op: "uncertainty.MonteCarlo", Value: float64(trials - invalid),
			Err: unit.Errorf(ErrTrials, "%d trials left for a coverage probability of %v; "+
				"expected more", trials-invalid, r.Coverage)}
	}
	return nil
}

// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package network

import (
	"math"

	"example.com/ohmwright/decade/internal/numbers"
	"example.com/ohmwright/uncertainty/unit"
)

// Divider is a potential divider made of decades, with shared pairs. Every stage but the last is
// a string of n + 1 equal resistors, and the next stage is connected across two neighbours in it.
// That stage has the resistance of the two together, so that the pair with the stage across it has
// the resistance of one, and the string that of n: the next stage divides one n-th of the voltage.
// The last stage is a string of n resistors with a tap at each end of every one. A divider has at
// most 16 stages. Any number of goroutines may read one at once.
type Divider struct {
	Stages [][]float64 // Ω, the resistors of each stage from the low end up
	// Contact is the resistance in ohms of each of the two contacts by which a stage is
	// connected to the pair.
	Contact float64
}

// NewDivider returns an ideal divider in steps of ten: a number of stages, and the resistance in
// ohms of each resistor of the first. Every stage has eleven resistors of a fifth of those of
// the stage before, the last one ten. The input resistance is that of ten of the first stage.
func NewDivider(stages int, ohms float64) (*Divider, error) {
	const op = "network.NewDivider"
	if stages < 1 || stages > mostStages {
		return nil, &Error{Op: op, Name: "stages", Value: float64(stages),
			Err: unit.Errorf(ErrDomain, "%d; expected 1 to %d", stages, mostStages)}
	}
	if err := numbers.Positive(op, "ohms", " Ω", ohms); err != nil {
		return nil, err
	}
	d := &Divider{}
	for k := range stages {
		// Eleven, of which two lie under the next stage and count as one: ten equal parts are
		// left.
		n := 11
		if k == stages-1 {
			n = 10
		}
		resistors := make([]float64, n)
		for i := range resistors {
			resistors[i] = ohms
		}
		d.Stages = append(d.Stages, resistors)
		// The next stage of ten parts must equal the two resistors that it bridges: 10·r = 2·R.
		ohms /= 5
	}
	return d, d.checkStages(op)
}

// checkStages refuses stages of a wrong number or size, a negative contact, and resistances that
// are not positive.
func (d *Divider) checkStages(op string) error {
	if d == nil || len(d.Stages) < 1 || len(d.Stages) > mostStages {
		return &Error{Op: op, Name: "stages",
			Err: unit.Errorf(ErrDomain, "expected 1 to %d stages", mostStages)}
	}
	if err := checkOhms(op, "contact", d.Contact, true); err != nil {
		return err
	}
	for k, stage := range d.Stages {
		if n := len(stage); n > mostPosition || n < 1 || k < len(d.Stages)-1 && n < 3 {
			return &Error{Op: op, Name: "stages", Value: float64(n),
				Err: unit.Errorf(ErrDomain, "stage %d has %d resistors; expected 3 to %d, and "+
					"1 or more in the last", k+1, n, mostPosition)}
		}
		for _, r := range stage {
			if err := checkOhms(op, "resistor", r, false); err != nil {
				return err
			}
		}
	}
	return nil
}

// checkPositions refuses positions that do not exist, too.
func (d *Divider) checkPositions(op string, positions []int) error {
	if err := d.checkStages(op); err != nil {
		return err
	}
	if len(positions) != len(d.Stages) {
		return &Error{Op: op, Name: "positions", Value: float64(len(positions)),
			Err: unit.Errorf(ErrPosition, "%s; expected %d, one for each stage",
				unit.Counted(len(positions), "position", "positions"), len(d.Stages))}
	}
	for k, p := range positions {
		if p < 0 || p > d.highest(k) {
			return &Error{Op: op, Name: "positions", Value: float64(p),
				Err: unit.Errorf(ErrPosition, "position %d of stage %d; expected 0 to %d", p, k+1,
					d.highest(k))}
		}
	}
	return nil
}

// highest is the highest position of a stage.
func (d *Divider) highest(stage int) int {
	if stage < len(d.Stages)-1 {
		return len(d.Stages[stage]) - 2
	}
	return len(d.Stages[stage])
}

// Nominal returns the ratio that the dials show,
//
//	p₁/n₁ + p₂/(n₁·n₂) + …
//
// where n is the number of resistors of a stage less one, and of the last stage all of them.
func (d *Divider) Nominal(positions ...int) (float64, error) {
	if err := d.checkPositions("network.Divider.Nominal", positions); err != nil {
		return 0, err
	}
	return d.nominal(positions), nil
}

// nominal is Nominal for positions that have been checked.
func (d *Divider) nominal(positions []int) float64 {
	v := 0.0
	// From the last stage up (Horner's scheme): each stage divides what the later ones leave.
	for k := len(positions) - 1; k >= 0; k-- {
		n := len(d.Stages[k]) - 1
		if k == len(d.Stages)-1 {
			n++
		}
		v = (float64(positions[k]) + v) / float64(n)
	}
	return v
}

// Ratio returns the voltage of the output without load as a fraction of that of the input.
func (d *Divider) Ratio(positions ...int) (float64, error) {
	if err := d.checkPositions("network.Divider.Ratio", positions); err != nil {
		return 0, err
	}
	ratio, _ := d.ratioFrom(0, positions)
	return ratio, nil
}

// InputResistance returns in ohms what the input shows without load. In an ideal divider it
// is the same at every setting.
func (d *Divider) InputResistance(positions ...int) (float64, error) {
	if err := d.checkPositions("network.Divider.InputResistance", positions); err != nil {
		return 0, err
	}
	_, r := d.ratioFrom(0, positions)
	return r, nil
}

// ratioFrom returns ratio and input resistance of the stages from k on.
func (d *Divider) ratioFrom(k int, positions []int) (ratio, ohms float64) {
	r, p := d.Stages[k], positions[k]
	if k == len(d.Stages)-1 {
		ohms = seriesSum(r)
		return seriesSum(r[:p]) / ohms, ohms
	}
	next, branch := d.ratioFrom(k+1, positions)
	below, pair := seriesSum(r[:p]), r[p]+r[p+1]
	// The next stage and its two contacts lie in parallel with the pair; the contact at the low
	// end lifts the foot of the stage by its own share.
	path := branch + 2*d.Contact
	next = (d.Contact + float64(next*branch)) / path
	pair = pair * path / (pair + path)
	ohms = below + pair + seriesSum(r[p+2:])
	return (below + float64(next*pair)) / ohms, ohms
}

// seriesSum is the resistance of resistors in series.
func seriesSum(r []float64) float64 {
	sum := 0.0
	for _, v := range r {
		sum += v
	}
	return sum
}

// OutputResistance returns in ohms the resistance that a load sees at the output, with the input
// fed from a source without resistance.
func (d *Divider) OutputResistance(positions ...int) (float64, error) {
	if err := d.checkPositions("network.Divider.OutputResistance", positions); err != nil {
		return 0, err
	}
	// Both ends of the input are at one potential. On the way down, low and high are what
	// lies from there to the ends of the stage, and common what both share; a pair turns
	// the triangle with the two into a star.
	common, low, high := 0.0, 0.0, 0.0
	last := len(d.Stages) - 1
	for k, p := range positions[:last] {
		r := d.Stages[k]
		low += seriesSum(r[:p])
		high += seriesSum(r[p+2:])
		pair := r[p] + r[p+1]
		// Triangle to star: each arm is the product of its neighbours over the sum of all three.
		sum := low + high + pair
		common += low * high / sum
		low, high = low*pair/sum+d.Contact, high*pair/sum+d.Contact
	}
	low += seriesSum(d.Stages[last][:positions[last]])
	high += seriesSum(d.Stages[last][positions[last]:])
	return common + low*high/(low+high), nil
}

// Loaded returns the ratio with a load in ohms from the output to the low end:
//
//	Ratio·load/(load + OutputResistance)
func (d *Divider) Loaded(load float64, positions ...int) (float64, error) {
	const op = "network.Divider.Loaded"
	if err := numbers.Positive(op, "load", " Ω", load); err != nil {
		return 0, err
	}
	ratio, err := d.Ratio(positions...)
	if err != nil {
		return 0, err
	}
	r, err := d.OutputResistance(positions...)
	if err != nil {
		return 0, err
	}
	// Thévenin's theorem: the open voltage behind the output resistance.
	return ratio / (1 + r/load), nil
}

// mostRatios bounds the settings that Linearity looks at.
const mostRatios = 2_000_000

// Linearity returns the largest deviation of the ratio from nominal over all settings, as a
// fraction of the input, with its sign, and the positions at which it occurs, the first of
// several. A divider with more than 2 000 000 settings is refused ([ErrSearch]).
func (d *Divider) Linearity() (deviation float64, positions []int, err error) {
	const op = "network.Divider.Linearity"
	if err := d.checkStages(op); err != nil {
		return 0, nil, err
	}
	n := 1.0
	for k := range d.Stages {
		n *= float64(d.highest(k) + 1)
	}
	if n > mostRatios {
		return 0, nil, &Error{Op: op, Name: "stages", Value: n,
			Err: unit.Errorf(ErrSearch, "%.3g settings; expected at most %d", n, mostRatios)}
	}
	now := make([]int, len(d.Stages))
	for {
		ratio, _ := d.ratioFrom(0, now)
		if e := ratio - d.nominal(now); positions == nil || math.Abs(e) > math.Abs(deviation) {
			deviation, positions = e, append(positions[:0], now...)
		}
		// The next positions in the order of an odometer, the last stage turning fastest.
		k := len(now) - 1
		for ; k >= 0 && now[k] == d.highest(k); k-- {
			now[k] = 0
		}
		if k < 0 {
			return deviation, positions, nil
		}
		now[k]++
	}
}

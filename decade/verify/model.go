// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"fmt"
	"math"
	"math/big"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/uncertainty"
)

// result is a value built from readings: what the displays say, exact in their
// decimals, and the quantities that correct it. Adding and subtracting such results
// keeps the decimals exact until one rounding at the end, so that a deviation that
// stands on a limit is on it.
type result struct {
	stated *big.Rat
	c      []float64
	q      []uncertainty.Quantity
}

func (r *result) with(c float64, q uncertainty.Quantity) {
	r.c = append(r.c, c)
	r.q = append(r.q, q)
}

// plus adds f times s.
func (r *result) plus(f *big.Rat, s result) {
	r.stated = new(big.Rat).Add(r.stated, new(big.Rat).Mul(f, s.stated))
	factor := nearest(f)
	for i, q := range s.q {
		r.with(factor*s.c[i], q)
	}
}

func (r result) quantity(name string) uncertainty.Quantity {
	return uncertainty.Linear(nearest(r.stated), r.c, r.q).Named(name)
}

// sources makes each input quantity of a report once, so that readings share what
// they share.
type sources struct {
	m       *Meter
	b       *decade.Box
	spec    decade.Spec
	made    map[string]uncertainty.Quantity
	scatter map[group]scatter
	many    bool // more than one session: names say which
}

// group is the readings that share a meter range.
type group struct{ session, rangeName string }

// scatter is the pooled standard deviation of repeats (GUM 4.2.4).
type scatter struct {
	squares float64
	dof     int
}

func (s scatter) deviation() float64 { return math.Sqrt(s.squares / float64(s.dof)) }

// fewRepeats is the number of readings up to which their own standard deviation is
// replaced by the pooled one of the range: it is itself uncertain by half (GUM table
// E.1).
const fewRepeats = 3

// own is input for a source that belongs to readings of this box only.
func (s *sources) own(name string, rd *Reading, d uncertainty.Distribution, note string) uncertainty.Quantity {
	return s.make(name, rd.Session, s.b.Name()+" "+s.b.Serial()+"/", d, "Ω", note)
}

// input returns the source with this name, made on first use. The ID makes it the same
// quantity when the file is read again, where serial and session say which it is.
func (s *sources) input(name, session string, d uncertainty.Distribution, unit, note string) uncertainty.Quantity {
	return s.make(name, session, "", d, unit, note)
}

func (s *sources) make(name, session, of string, d uncertainty.Distribution, unit, note string) uncertainty.Quantity {
	if s.many && session != "" {
		name += ", session " + session
	}
	if q, ok := s.made[name]; ok {
		return q
	}
	src := uncertainty.Source{Name: name, Distribution: d, Unit: unit, Note: note}
	if s.m.Serial != "" && session != "" {
		src.ID = s.m.Serial + "/" + session + "/" + of + name
	}
	q := src.Input()
	s.made[name] = q
	return q
}

// law is the distribution of an error stated by the maker: limits without coverage
// factor are rectangular, others normal.
func (r Range) law(limit float64) uncertainty.Distribution {
	if r.K == 0 {
		return uncertainty.Rectangular(0, limit)
	}
	return uncertainty.Normal(0, limit/r.K)
}

// measured is the resistance at the terminals at reference temperature that a reading
// stands for. Where the null was taken with the box at zero, it is the resistance above
// the zero setting.
func (s *sources) measured(rd *Reading, rg Range) (result, error) {
	v := rd.value()
	out := result{stated: new(big.Rat).Set(v)}
	reading := nearest(v)
	s.meterErrors(&out, rd, rg, reading)
	s.displayed(&out, rd, rg)
	s.contact(&out, rd)
	s.leads(&out, rd)
	s.emf(&out, rd, rg)
	s.leak(&out, rd, reading)
	return out, s.temperature(&out, rd)
}

// split divides the standard uncertainty that the limits of a range give for a reading
// into the gain part and the zero part, common to readings, and the rest.
func (m *Meter) split(rg Range, reading, outside float64) (gain, zero, rest float64) {
	d := rg.divisor()
	total := rg.Limit(reading, outside) / d
	gain = rg.OfReading * math.Abs(reading) / d
	zero = m.zeroShare() * rg.OfRange * rg.FullScale / d
	left := float64(total*total) - float64(gain*gain) - float64(zero*zero)
	return gain, zero, math.Sqrt(max(0, left))
}

func (s *sources) meterErrors(out *result, rd *Reading, rg Range, reading float64) {
	_, _, rest := s.m.split(rg, reading, s.outside(rd))
	if rg.OfReading > 0 {
		common := rg.OfReading
		if rg.Reference != "" {
			common = s.smallestGain(rg.Reference)
			out.with(-reading, s.input("meter reference "+rg.Reference, rd.Session, rg.law(common), "", "gain error of the internal reference"))
			common = math.Sqrt(max(0, float64(rg.OfReading*rg.OfReading)-float64(common*common)))
		}
		if common > 0 {
			out.with(-reading, s.input("meter gain "+rg.Name, rd.Session, rg.law(common), "", "common to all readings of the range"))
		}
	}
	if zero := s.m.zeroShare() * rg.OfRange * rg.FullScale; zero > 0 {
		out.with(-1, s.input("meter zero "+rg.Name, rd.Session, rg.law(zero), "Ω", "common to all readings of the range"))
	}
	if rest > 0 {
		out.with(-1, s.own("linearity and noise at "+rd.Label()+", "+rg.Name, rd, rg.law(rest*rg.divisor()), "rest of the meter limits, new in each reading"))
	}
}

// smallestGain is the gain error common to all ranges of one internal reference.
func (s *sources) smallestGain(label string) float64 {
	least := math.Inf(1)
	for _, r := range s.m.Ranges {
		if r.Reference == label {
			least = min(least, r.OfReading)
		}
	}
	return least
}

// outside is how far the meter was outside the temperature band of its limits, in K.
func (s *sources) outside(rd *Reading) float64 {
	if s.m.Temperature == nil || rd.MeterTemperature == nil {
		return 0
	}
	return max(0, math.Abs(*rd.MeterTemperature-*s.m.Temperature)-s.m.Band)
}

// displayed adds what the display does to a value: its step, and the scatter of the
// repeats. Both polarities are averaged.
func (s *sources) displayed(out *result, rd *Reading, rg Range) {
	if rg.Resolution > 0 {
		out.with(-1, s.own("resolution at "+rd.Label()+", "+rg.Name, rd, uncertainty.Resolution(0, rg.Resolution), "step of the display"))
	}
	weight := 1.0
	if len(rd.Values) > 0 && len(rd.Reversed) > 0 {
		weight = 0.5
	}
	for _, side := range []struct {
		name   string
		values []float64
	}{{"repeatability at ", rd.Values}, {"repeatability, current reversed, at ", rd.Reversed}} {
		if d := s.repeatability(side.values, group{rd.Session, rg.Name}); d != nil {
			out.with(-weight, s.own(side.name+rd.Label()+", "+rg.Name, rd, d, fmt.Sprintf("%d readings", len(side.values))))
		}
	}
}

// repeatability is the Type A distribution about 0 of the mean of n repeats: from
// their own standard deviation, or from that of the range where they are few.
func (s *sources) repeatability(values []float64, g group) uncertainty.Distribution {
	n := len(values)
	zeros := make([]float64, n)
	pool := s.scatter[g]
	switch {
	case n == 0:
		return nil
	case n > fewRepeats:
		_, sd, err := uncertainty.MeanStdDev(values)
		if err != nil {
			return nil // values are checked: they are finite
		}
		return uncertainty.TypeAPooled(sd, float64(n-1), zeros...)
	case pool.dof == 0:
		return nil
	}
	return uncertainty.TypeAPooled(pool.deviation(), float64(pool.dof), zeros...)
}

// contact adds the switching variation: one draw for each dialling, of every contact in
// the path.
func (s *sources) contact(out *result, rd *Reading) {
	u := s.spec.Contact * math.Sqrt(float64(rd.Setting.Contacts()))
	if u > 0 {
		out.with(-1, s.own("contacts at "+rd.Label(), rd, uncertainty.Normal(0, u), "switching variation, new in each dialling"))
	}
}

func (s *sources) leads(out *result, rd *Reading) {
	l := s.m.Leads
	if s.m.Wiring == WiringTwoWire && l.Null == NullNone {
		out.stated.Sub(out.stated, decimal(l.Resistance))
		if l.Tolerance > 0 {
			out.with(-1, s.input("leads", rd.Session, uncertainty.Rectangular(0, l.Tolerance), "Ω", "both leads together"))
		}
	}
	if l.Null != NullNone && l.NullTolerance > 0 {
		out.with(-1, s.input("null", rd.Session, uncertainty.Rectangular(0, l.NullTolerance), "Ω", "null with "+l.Null.String()))
	}
}

// emf adds the limit of thermal EMFs where neither the meter nor a reversal of the
// current takes them out.
func (s *sources) emf(out *result, rd *Reading, rg Range) {
	if s.m.OffsetCompensated || s.m.ThermalEMF == 0 || rg.Current == 0 || len(rd.Values) > 0 && len(rd.Reversed) > 0 {
		return
	}
	out.with(-1, s.own("thermal EMF at "+rd.Label()+", "+rg.Name, rd, uncertainty.Rectangular(0, s.m.ThermalEMF/rg.Current), "current not reversed"))
}

// leak adds the effect of a leakage resistance known only to exceed X: the reading is
// low by a value between 0 and R²/X.
func (s *sources) leak(out *result, rd *Reading, reading float64) {
	if s.m.Insulation == 0 {
		return
	}
	most := reading * reading / s.m.Insulation
	if most > 0 && finite(most) {
		out.with(1, s.own("leakage at "+rd.Label(), rd, uncertainty.Between(0, most), "insulation known only to exceed its limit"))
	}
}

// temperature brings the value to the reference temperature of the box.
func (s *sources) temperature(out *result, rd *Reading) error {
	if rd.Temperature == nil || !s.b.HasTemperatureLaw() || rd.Setting.AllZero() && s.spec.ResidualLaw.IsZero() {
		return nil
	}
	if _, err := rd.Setting.TemperatureChange(*rd.Temperature); err != nil {
		return &Error{Op: "verify.Evaluate", Name: rd.place(), Value: *rd.Temperature, Err: err}
	}
	t := uncertainty.Exact(*rd.Temperature)
	if s.m.Thermometer > 0 {
		t = t.Add(s.input("thermometer", rd.Session, uncertainty.Rectangular(0, s.m.Thermometer), "°C", "temperature of the box"))
	}
	out.with(-1, rd.Setting.TemperatureChangeOf(t))
	return nil
}

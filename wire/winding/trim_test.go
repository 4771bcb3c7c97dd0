// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"example.com/ohmwright/thermal"
	"example.com/ohmwright/uncertainty/uncertaintytest"
	"example.com/ohmwright/wire/winding"
)

func TestPadAndLinkReachTheirTarget(t *testing.T) {
	ok, trim := must[float64](t), must[winding.Trim](t)
	r := rand.New(rand.NewPCG(9, 10))
	for range 500 {
		target := math.Pow(10, -2+8*r.Float64())
		high, low := target*(1+r.Float64()*0.1+1e-6), target*(1-r.Float64()*0.1-1e-6)
		padded, linked := trim(winding.Padded(high, ok(winding.Pad(high, target)))),
			trim(winding.Linked(low, ok(winding.Link(low, target))))
		if !near(padded.Value, target, 1e-14) || !near(linked.Value, target, 1e-14) {
			t.Errorf("target %v: padded %v, linked %v", target, padded.Value, linked.Value)
		}
		// The share is what the trade's rule says, (R − Rt)/R and Rs/Rt …
		if !near(padded.Share, (high-target)/high, 1e-9) || !near(linked.Share, linked.Added/target, 1e-12) {
			t.Errorf("target %v: shares %v %v", target, padded.Share, linked.Share)
		}
		// … and the derivative that it stands for.
		const h = 1e-4
		up, down := trim(winding.Padded(high, padded.Added*(1+h))), trim(winding.Padded(high, padded.Added*(1-h)))
		if got := (up.Value - down.Value) / (2 * h) / target; math.Abs(got-padded.Share) > 1e-7 {
			t.Errorf("share %v, derivative %v", padded.Share, got)
		}
	}
}

func TestRangesOfPadsAndLinks(t *testing.T) {
	trim := must[winding.Trim](t)
	pads, err := winding.PadRange(1001.2, 1000, 10e-6)
	if err != nil || !near(trim(winding.Padded(1001.2, pads.Lower)).Value, 999.99, 1e-12) ||
		!near(trim(winding.Padded(1001.2, pads.Upper)).Value, 1000.01, 1e-12) {
		t.Errorf("pads %v, %v", pads, err)
	}
	links, err := winding.LinkRange(998.8, 1000, 10e-6)
	if err != nil || !near(links.Lower, 1.19, 1e-9) || !near(links.Upper, 1.21, 1e-9) {
		t.Errorf("links %v, %v", links, err)
	}
	if open, err := winding.PadRange(1000.005, 1000, 10e-6); err != nil || !math.IsInf(open.Upper, 1) {
		t.Errorf("no pad would do: %v, %v", open, err)
	}
	if open, err := winding.LinkRange(999.995, 1000, 10e-6); err != nil || open.Lower != 0 {
		t.Errorf("no link would do: %v, %v", open, err)
	}
}

func TestPreferredTrims(t *testing.T) {
	target := 1000.0
	for _, s := range []winding.Series{winding.E3, winding.E6, winding.E12, winding.E24,
		winding.E48, winding.E96, winding.E192} {
		pads := must[[]winding.Trim](t)(winding.Pads(1001.2, target, s))
		links := must[[]winding.Trim](t)(winding.Links(998.8, target, s))
		for _, trims := range [][]winding.Trim{pads, links} {
			if len(trims) != 2 || math.Abs(trims[0].Value-target) > math.Abs(
				trims[1].Value-target) || (trims[0].Value-target)*(trims[1].Value-target) > 0 {
				t.Errorf("%v: %+v", s, trims)
			}
		}
	}
	if exact := must[[]winding.Trim](t)(winding.Links(990, 1000, winding.E24)); len(exact) != 1 ||
		exact[0].Added != 10 {
		t.Errorf("a preferred link: %+v", exact)
	}
}

// The law of the pair against the pair computed at each temperature from the laws of its parts.
func TestLawOfTrim(t *testing.T) {
	ok, trim := must[float64](t), must[winding.Trim](t)
	part, added := thermal.NewLaw(25, 3e-6, -0.5e-6), thermal.NewLaw(20, 100e-6, 0.1e-6)
	for name, c := range map[string]struct {
		t       winding.Trim
		combine func(r, a float64) float64
	}{
		"pad":      {trim(winding.Padded(1001.2, 820e3)), func(r, a float64) float64 { return r * a / (r + a) }},
		"half":     {trim(winding.Padded(2000, 2000)), func(r, a float64) float64 { return r * a / (r + a) }},
		"link":     {trim(winding.Linked(990, 10)), func(r, a float64) float64 { return r + a }},
		"half sum": {trim(winding.Linked(500, 500)), func(r, a float64) float64 { return r + a }},
	} {
		law := must[thermal.Law](t)(c.t.Law(part, added))
		for _, at := range []float64{15, 20, 23, 25, 30, 35} {
			r := c.t.Part * ok(part.Ratio(at))
			a := c.t.Added * ok(added.Ratio(at)) / ok(added.Ratio(25))
			want := c.combine(r, a) / c.t.Value
			got, d := ok(law.Ratio(at)), math.Abs(at-25)
			if math.Abs(got-want) > 1e-12+4e-11*d*d*d { // the third order is left out
				t.Errorf("%s at %v °C: %v, want %v", name, at, got, want)
			}
		}
	}
	same := must[thermal.Law](t)(trim(winding.Padded(1000, 1000)).Law(part, part))
	if !near(same.Alpha(), part.Alpha(), 1e-12) || !near(same.Beta(), part.Beta(), 1e-12) {
		t.Errorf("two equal parts: %v", same)
	}
	one := must[thermal.Law](t)(trim(winding.Linked(900, 100)).Law(thermal.Law{}, part))
	if one.Reference() != 25 || !near(one.Alpha(), 0.3e-6, 1e-12) {
		t.Errorf("a part without dependence: %v", one)
	}
	other := must[thermal.Law](t)(trim(winding.Linked(900, 100)).Law(part, thermal.Law{}))
	if !near(other.Alpha(), 2.7e-6, 1e-12) {
		t.Errorf("a link without dependence: %v", other)
	}
	if _, err := trim(winding.Linked(900, 100)).Law(thermal.NewLaw(20, math.NaN(), 0), part); err == nil {
		t.Error("a bad law is taken")
	}
	if _, err := trim(winding.Linked(900, 100)).Law(part, thermal.NewLaw(20, math.NaN(), 0)); err == nil {
		t.Error("a bad law of the link is taken")
	}
}

// IEC 60063, from memory and common practice; that the finer series contain the coarser ones, and
// that each value is the rounded power but for the known ones, is checked besides.
func TestPublishedPreferredValues(t *testing.T) {
	values := slices.Collect(winding.E24.Values())
	for i, printed := range []string{
		"1.0", "1.1", "1.2", "1.3", "1.5", "1.6", "1.8", "2.0", "2.2", "2.4", "2.7", "3.0",
		"3.3", "3.6", "3.9", "4.3", "4.7", "5.1", "5.6", "6.2", "6.8", "7.5", "8.2", "9.1",
	} {
		uncertaintytest.Published{Name: "E24 " + printed, Source: "IEC 60063", Place: "series E24",
			Printed: printed, Provenance: uncertaintytest.CommonPractice}.Run(t, values[i])
	}
	for i, printed := range map[int]string{1: "1.02", 19: "1.58", 67: "4.99", 95: "9.76"} {
		p := uncertaintytest.Published{Name: "E96 " + printed, Source: "IEC 60063",
			Place: "series E96", Printed: printed, Provenance: uncertaintytest.CommonPractice}
		p.Run(t, slices.Collect(winding.E96.Values())[i])
	}
	p := uncertaintytest.Published{Name: "E192 9.20", Source: "IEC 60063", Place: "series E192",
		Printed: "9.20", Provenance: uncertaintytest.FromMemory}
	p.Run(t, slices.Collect(winding.E192.Values())[185])
}

func TestSeries(t *testing.T) {
	contains := func(fine, coarse winding.Series) {
		all := slices.Collect(fine.Values())
		if len(all) != int(fine) || !slices.IsSorted(all) || all[0] != 1 || all[len(all)-1] >= 10 {
			t.Errorf("%v: %v", fine, all)
		}
		for v := range coarse.Values() {
			if !slices.Contains(all, v) {
				t.Errorf("%v lacks %v of %v", fine, v, coarse)
			}
		}
	}
	contains(winding.E6, winding.E3)
	contains(winding.E12, winding.E6)
	contains(winding.E24, winding.E12)
	contains(winding.E96, winding.E48)
	contains(winding.E192, winding.E96)
	odd := 0
	for _, s := range []winding.Series{winding.E24, winding.E48, winding.E96, winding.E192} {
		places := map[bool]float64{true: 10, false: 100}[s == winding.E24]
		for i, v := range slices.Collect(s.Values()) {
			if v != math.Round(places*math.Pow(10, float64(i)/float64(s)))/places {
				odd++
			}
		}
	}
	if odd != 9 {
		t.Errorf("%d values are not rounded powers; want 8 of E24 and 9.20 of E192", odd)
	}
	if n := len(slices.Collect(winding.Series(5).Values())); n != 0 {
		t.Errorf("series E5 has %d values", n)
	}
	for range winding.E24.Values() {
		break
	}
	if winding.E96.String() != "E96" {
		t.Error(winding.E96)
	}
}

func TestAround(t *testing.T) {
	for _, c := range []struct {
		s            winding.Series
		v, low, high float64
	}{
		{winding.E24, 834.33e3, 820e3, 910e3}, {winding.E24, 9.5, 9.1, 10}, {winding.E24, 10, 10, 10}, {winding.E3, 0.9, 0.47, 1},
		{winding.E192, 9.199, 9.09, 9.20}, {winding.E96, 4.99, 4.99, 4.99}, {winding.E24, 1e-9, 1e-9, 1e-9}, {winding.E24, 1e15, 1e15, 1e15},
		{winding.E6, 99, 68, 100}, {winding.E24, math.Nextafter(1000, 0), 910, 1000}, {winding.E24, math.Nextafter(1000, 2000), 1000, 1100},
	} {
		low, high, err := c.s.Around(c.v)
		if err != nil || low != c.low || high != c.high {
			t.Errorf("%v around %v: %v, %v, %v; want %v, %v", c.s, c.v, low, high, err, c.low, c.high)
		}
	}
}

func TestWireChange(t *testing.T) {
	ok := must[float64](t)
	if l := ok(winding.WireChange(10.05, 10, 13.7)); !near(l, -0.05/13.7, 1e-10) {
		t.Errorf("to remove: %v m", l)
	}
	if l := ok(winding.WireChange(10, 10, 13.7)); l != 0 {
		t.Errorf("nothing to do: %v m", l)
	}
}

// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal

// StrainGauge is a resistance strain gauge:
//
//	R = R0 (1 + K ε)
//
// A decade box stands in for it in two ways. In its place, the sensor of
// [StrainGauge.Sensor], it needs steps of some mΩ; across it, as a shunt, it lowers the
// resistance as a compression would ([StrainGauge.Shunt]), for which some kΩ serve.
type StrainGauge struct {
	R0     float64 // Ω without strain: 120, 350, 1000
	Factor float64 // K, the gauge factor: 2 for metal; semiconductors are not straight
	// Limit of the strain in µm/m, to both sides; 0: 30 000 µm/m.
	Limit float64
}

const (
	micro       = 1e-6 // µm/m
	usualStrain = 30e3 // µm/m, to which metal foil is good (common practice)
)

// checkGauge refuses a gauge without resistance or factor.
func (g StrainGauge) checkGauge(op string) error {
	if err := checkPositive(op, "R0", g.R0, "ohms"); err != nil {
		return err
	}
	return checkPositive(op, "gauge factor", g.Factor, "ohm per ohm and strain")
}

// Sensor returns the gauge as a sensor of strain in µm/m, negative where it is compressed. It
// returns an error ([ErrDomain]) where R0 or Factor is not above 0 or the limit takes the
// resistance to nothing.
func (g StrainGauge) Sensor() (Sensor, error) {
	const op = "thermal.StrainGauge.Sensor"
	if err := g.checkGauge(op); err != nil {
		return Sensor{}, err
	}
	if g.Limit == 0 {
		g.Limit = usualStrain
	}
	if err := checkPositive(op, "limit", g.Limit, "µm/m"); err != nil {
		return Sensor{}, err
	}
	slope := g.R0 * g.Factor * micro
	return finiteSensor(op, characteristic{
		name: "strain gauge " + text(g.R0) + " Ω, K = " + text(g.Factor), unit: "µm/m",
		low: -g.Limit, high: g.Limit,
		evaluate: func(x float64) (float64, float64) { return g.R0 + float64(slope*x), slope },
		solve:    func(r float64) float64 { return (r/g.R0 - 1) / (g.Factor * micro) },
	})
}

// Shunt returns in ohms the resistance across the gauge that changes it as a compression
// of strain µm/m does:
//
//	Rs = R0/(K ε) − R0
//
// What a bridge shows for it is a little less, see [StrainGauge.BridgeShunt].
func (g StrainGauge) Shunt(strain float64) (float64, error) {
	return g.shunt("thermal.StrainGauge.Shunt", strain, 1)
}

// ShuntStrain returns the compression in µm/m that a resistance in ohms across the gauge
// stands for, the inverse of [StrainGauge.Shunt].
func (g StrainGauge) ShuntStrain(shunt float64) (float64, error) {
	return g.shuntStrain("thermal.StrainGauge.ShuntStrain", shunt, 1)
}

// BridgeShunt returns in ohms the resistance across the gauge with which a quarter bridge
// of three resistors R0 puts out K ε/4 of its supply, so that an instrument that takes the
// bridge as straight shows the strain in µm/m:
//
//	Rs = R0/(K ε) − R0/2
func (g StrainGauge) BridgeShunt(strain float64) (float64, error) {
	return g.shunt("thermal.StrainGauge.BridgeShunt", strain, 0.5)
}

// BridgeShuntStrain returns in µm/m the compression that such an instrument shows with a
// resistance in ohms across the gauge, the inverse of [StrainGauge.BridgeShunt].
func (g StrainGauge) BridgeShuntStrain(shunt float64) (float64, error) {
	return g.shuntStrain("thermal.StrainGauge.BridgeShuntStrain", shunt, 0.5)
}

// shunt is R0/(K ε) − part·R0.
func (g StrainGauge) shunt(op string, strain, part float64) (float64, error) {
	if err := g.checkGauge(op); err != nil {
		return 0, err
	}
	if err := checkPositive(op, "strain", strain, "µm/m, a compression,"); err != nil {
		return 0, err
	}
	// R0 ∥ Rs = R0(1 − Kε) gives the part 1. The output of a quarter bridge is not straight in
	// the resistance, which gives the part 1/2.
	r := g.R0 * (1/(g.Factor*strain*micro) - part)
	if r <= 0 {
		return 0, domainError(op, "strain", strain,
			"expected one that a shunt can stand for, less than "+
				text(1/(g.Factor*part*micro))+" µm/m")
	}
	return finiteResult(op, "shunt", r)
}

// shuntStrain is the inverse of shunt.
func (g StrainGauge) shuntStrain(op string, shunt, part float64) (float64, error) {
	if err := g.checkGauge(op); err != nil {
		return 0, err
	}
	if err := checkPositive(op, "shunt", shunt, "ohms"); err != nil {
		return 0, err
	}
	return finiteResult(op, "strain", g.R0/(g.Factor*(shunt+float64(part*g.R0)))/micro)
}

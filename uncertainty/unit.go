// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

// mixed is a unit that cannot be told.
const mixed = "\x00"

// unit carries the stated unit of the inputs to the measurand, as far as sums and
// exact or dimensionless ("1") factors keep it. Where it cannot be told it is empty.
func (m *model) unit(y *node) string {
	units := make([]string, len(m.nodes))
	for i, n := range m.nodes {
		at := func(arg *node) string { return units[m.place[arg]] }
		switch n.op {
		case opInput:
			units[i] = n.aux.(*source).unit
		case opNeg, opScale, opNamed:
			units[i] = at(n.a)
		case opAdd, opSub:
			units[i] = sumUnit(at(n.a), at(n.b))
		case opLinear:
			x := n.aux.(*many)
			if x.unit != "" {
				units[i] = x.unit
				break
			}
			for k, arg := range x.args {
				if k == 0 {
					units[i] = at(arg)
				} else {
					units[i] = sumUnit(units[i], at(arg))
				}
			}
		case opMul:
			switch {
			case pure(n.b, at(n.b)):
				units[i] = at(n.a)
			case pure(n.a, at(n.a)):
				units[i] = at(n.b)
			default:
				units[i] = mixed
			}
		case opDiv:
			switch {
			case pure(n.b, at(n.b)):
				units[i] = at(n.a)
			case at(n.a) != "" && at(n.a) == at(n.b) && at(n.a) != mixed:
				units[i] = "1"
			default:
				units[i] = mixed
			}
		case opExact:
		default:
			units[i] = mixed
		}
	}
	if u := units[m.place[y]]; u != mixed {
		return u
	}
	return ""
}

// sumUnit is the unit of a sum; a term without one takes that of the other.
func sumUnit(a, b string) string {
	switch {
	case a == b || b == "":
		return a
	case a == "":
		return b
	}
	return mixed
}

// pure tells whether a factor leaves the unit alone.
func pure(n *node, unit string) bool { return n.op == opExact || unit == "1" }

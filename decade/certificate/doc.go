// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Package certificate writes the calibration of a decade box as a digital calibration
// certificate by the open schema DCC 3.3.0, with quantities in D-SI 2.2.1, and reads its own
// back.
//
//	parties, err := certificate.ReadParties(file)
//	c, err := certificate.New(report, parties)
//	err = c.WriteXML(out)
//
// A [Certificate] says what the residual and every position of every dial measured, with
// nominal value, expanded uncertainty, coverage factor and probability, limits and verdict under
// the decision rule of the report; for a box that was adjusted or repaired, as found and as
// left. Values and uncertainties are rounded once, by [New]: what is written is what a reader
// gets back.
//
// Laboratory, persons and customer are in [Parties], and nothing of them is invented: New
// refuses a certificate that lacks what the schema or ISO/IEC 17025:2017, 7.8 demands, and
// names the key. Unless an accreditation is stated, the certificate says that there is none.
//
// # Attributes
//
// Values carry the refType attributes of the published good practice (basic_measuredValue,
// basic_conformity, basic_toleranceLimitLower and others). What it has no word for begins
// with box_: box_residual, box_dial and box_settings are results, box_setting the positions
// of all dials, box_nominalValue, and box_deviation measured minus nominal. (An error would
// have the other sign: what a material measure indicates is its nominal value.)
//
// # Verdicts
//
// "conforms" is pass and "does not conform" fail. What cannot be decided is conditionalPass
// where the value lies inside the limits, and conditionalFail where it lies outside. noPass
// stands where nothing was judged.
//
// # Signature
//
// Certificates are not signed. A signature seals what was written byte for byte: sign and
// archive the file with a tool for XML signatures, and change nothing in it afterwards.
package certificate

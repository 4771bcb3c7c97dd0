// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package wire

// enamelSize is a line of table 1 of IEC 60317-0-1, in micrometres: nominal diameter, its
// tolerance, and for grades 1 to 3 the least increase by the enamel and the greatest
// outside diameter; 0: not given.
type enamelSize struct {
	nominal, tolerance float64
	increase, greatest [3]float64
	memory             bool // not seen in the table itself
}

// enamelTable is in rising order. Lines up to 0.118 mm are a maker's tables to the
// standard, grades 1 and 2, whose least outside diameter of grade 2 begins 1 µm above
// the greatest of grade 1; the rest are the standard's (GOST R IEC 60317-0-1-2022, table
// 1), where marked from memory.
var enamelTable = [...]enamelSize{
	{30, 0, [3]float64{3, 8, 0}, [3]float64{37, 41, 0}, false},
	{40, 0, [3]float64{4, 10, 0}, [3]float64{49, 54, 0}, false},
	{45, 0, [3]float64{5, 11, 0}, [3]float64{55, 61, 0}, false},
	{53, 0, [3]float64{5, 12, 0}, [3]float64{64, 70, 0}, false},
	{56, 0, [3]float64{6, 12, 0}, [3]float64{67, 74, 0}, false},
	{63, 0, [3]float64{6, 14, 0}, [3]float64{76, 83, 0}, false},
	{71, 0, [3]float64{7, 14, 0}, [3]float64{84, 91, 0}, false},
	{90, 0, [3]float64{8, 16, 0}, [3]float64{105, 113, 0}, false},
	{100, 0, [3]float64{8, 18, 0}, [3]float64{117, 125, 0}, false},
	{118, 0, [3]float64{10, 19, 0}, [3]float64{136, 145, 0}, false},
	{125, 3, [3]float64{10, 19, 28}, [3]float64{144, 154, 163}, true},
	{140, 3, [3]float64{11, 21, 30}, [3]float64{160, 171, 181}, true},
	{160, 3, [3]float64{12, 23, 33}, [3]float64{182, 194, 205}, true},
	{180, 3, [3]float64{13, 25, 36}, [3]float64{204, 217, 229}, true},
	{200, 3, [3]float64{14, 27, 39}, [3]float64{226, 239, 252}, true},
	{224, 3, [3]float64{15, 29, 43}, [3]float64{252, 266, 280}, true},
	{250, 4, [3]float64{17, 32, 48}, [3]float64{281, 297, 312}, true},
	{280, 4, [3]float64{18, 33, 50}, [3]float64{312, 329, 345}, true},
	{315, 4, [3]float64{19, 35, 53}, [3]float64{349, 367, 384}, false},
	{355, 4, [3]float64{20, 38, 57}, [3]float64{392, 411, 428}, false},
	{400, 5, [3]float64{21, 40, 60}, [3]float64{439, 459, 478}, true},
	{450, 5, [3]float64{22, 42, 64}, [3]float64{491, 513, 533}, false},
	{500, 5, [3]float64{24, 45, 67}, [3]float64{544, 566, 587}, false},
	{560, 6, [3]float64{25, 47, 71}, [3]float64{606, 630, 653}, true},
	{630, 6, [3]float64{27, 50, 75}, [3]float64{679, 704, 728}, false},
	{710, 7, [3]float64{28, 53, 80}, [3]float64{762, 789, 814}, false},
	{800, 8, [3]float64{30, 56, 85}, [3]float64{855, 884, 911}, true},
	{900, 9, [3]float64{32, 60, 90}, [3]float64{959, 989, 1018}, false},
	{1000, 10, [3]float64{34, 63, 95}, [3]float64{1062, 1094, 1124}, false},
	{1120, 11, [3]float64{34, 65, 98}, [3]float64{1184, 1217, 1248}, true},
	{1250, 13, [3]float64{35, 67, 100}, [3]float64{1316, 1349, 1381}, false},
	{1400, 14, [3]float64{36, 69, 103}, [3]float64{1468, 1502, 1535}, false},
	{1600, 16, [3]float64{38, 71, 107}, [3]float64{1670, 1706, 1740}, true},
	{1800, 18, [3]float64{39, 73, 110}, [3]float64{1872, 1909, 1944}, false},
	{2000, 20, [3]float64{40, 75, 113}, [3]float64{2074, 2112, 2148}, false},
	{2240, 22, [3]float64{41, 77, 116}, [3]float64{2316, 2355, 2392}, true},
	{2500, 25, [3]float64{42, 79, 119}, [3]float64{2578, 2618, 2656}, false},
	{2800, 28, [3]float64{43, 81, 123}, [3]float64{2880, 2922, 2961}, false},
	{3150, 32, [3]float64{45, 84, 127}, [3]float64{3233, 3276, 3316}, true},
	{3550, 36, [3]float64{46, 86, 130}, [3]float64{3635, 3679, 3721}, false},
	{4000, 40, [3]float64{47, 89, 134}, [3]float64{4088, 4133, 4176}, false},
	{4500, 45, [3]float64{49, 92, 138}, [3]float64{4591, 4637, 4681}, true},
	{5000, 50, [3]float64{50, 94, 142}, [3]float64{5093, 5141, 5186}, false},
}

// filmSize is a line of the dimensions of film-insulated wire in NEMA MW 1000, in mil: the
// least increase and the greatest outside diameter with a single and a heavy film; 0: not
// given. The greatest diameters of heavy film are from memory where 14 AWG and thinner.
type filmSize struct {
	number              int
	single, heavy       float64
	singleMax, heavyMax float64
}

// filmTable falls, from the thickest wire to the finest.
var filmTable = [...]filmSize{
	{6, 0, 3.5, 0, 167.1},
	{8, 0, 3.3, 0, 133.2},
	{9, 0, 3.2, 0, 118.9},
	{14, 1.6, 3.2, 66.6, 68.2},
	{15, 1.5, 0, 59.4, 0},
	{17, 1.4, 0, 47.5, 0},
	{18, 1.3, 2.6, 42.4, 43.9},
	{20, 1.2, 2.3, 33.9, 35.3},
	{21, 1.1, 0, 30.3, 0},
	{23, 1.0, 0, 24.3, 0},
	{24, 1.0, 1.9, 21.7, 22.7},
	{26, 0.9, 1.7, 17.3, 18.2},
	{27, 0.8, 0, 15.6, 0},
	{29, 0.7, 0, 12.6, 0},
	{30, 0.7, 1.4, 11.2, 11.9},
	{32, 0.6, 1.2, 9.1, 9.8},
	{33, 0.5, 0, 8.1, 0},
	{35, 0.4, 0, 6.4, 0},
	{36, 0.4, 0.8, 5.8, 6.3},
	{38, 0.3, 0.7, 4.7, 5.1},
	{39, 0.2, 0, 4.1, 0},
}

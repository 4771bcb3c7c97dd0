// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package elementary_test

import (
	"fmt"

	"example.com/ohmwright/uncertainty/elementary"
)

// All digits may be printed and compared: they are the same on every processor.
func Example() {
	fmt.Println(elementary.Log(10), elementary.Sin(1))
	fmt.Println(elementary.NormalQuantile(0.975))
	// Output:
	// 2.302585092994046 0.8414709848078965
	// 1.959963984540054
}

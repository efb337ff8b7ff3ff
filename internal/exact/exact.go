// Package exact has one job: numbers a + b√2 with rational a and b, added, multiplied and compared without error.
//
// Every incidence of a quilt (which lines cross, whether a corner lies on an edge, whether two patches are equal) is
// decided with these numbers. They are kept as (p + q√2)/d in three int64 as long as that is enough, and in math/big
// beyond. It knows no geometry; package plane does.
//
//	exact.Frac(7, 8).Add(exact.Int(3)).String()          // "3 7/8"
//	exact.Int(2).Div(exact.Sqrt2()).Equal(exact.Sqrt2()) // true
package exact

import (
	"math"
	"math/bits"
)

// Num is a number a + b√2 with rational a and b. The zero value is 0. A Num is immutable and may be copied freely.
//
// Properties: (1) the form is canonical, so two equal Nums whose parts fit int64 are also equal under ==; Equal holds
// for all; (2) no operation overflows or rounds, except Float.
type Num struct {
	// (p + q√2)/(e+1) with gcd(p, q, e+1) = 1; e is the denominator less one, so that the zero value is 0.
	p, q, e int64
	wide    *wide // the value where int64 is not enough, else nil; p, q and e are 0 then
}

// Int returns n.
func Int(n int64) Num {
	if n == math.MinInt64 { // every part must have a negative
		return Num{p: math.MaxInt64}.Add(Num{p: 1}).Neg()
	}
	return Num{p: n}
}

// Frac returns n/d. It panics when d is 0.
func Frac(n, d int64) Num { return Int(n).Div(Int(d)) }

// Sqrt2 returns √2.
func Sqrt2() Num { return Num{q: 1} }

// New returns aNum/aDen + bNum/bDen √2. It panics when aDen or bDen is 0.
func New(aNum, aDen, bNum, bDen int64) Num {
	return Frac(aNum, aDen).Add(Frac(bNum, bDen).Mul(Sqrt2()))
}

// Min returns the lesser of a and b.
func Min(a, b Num) Num {
	if b.Less(a) {
		return b
	}
	return a
}

// Max returns the greater of a and b.
func Max(a, b Num) Num {
	if a.Less(b) {
		return b
	}
	return a
}

// Add returns x + y.
func (x Num) Add(y Num) Num {
	if x.wide == nil && y.wide == nil {
		if x.e == y.e {
			p, ok1 := addOK(x.p, y.p)
			q, ok2 := addOK(x.q, y.q)
			if ok1 && ok2 {
				return reduced(p, q, x.e)
			}
		} else if n, ok := sum(x.p, x.q, x.e+1, y.p, y.q, y.e+1); ok {
			return n
		}
	}
	return addWide(x, y)
}

// Sub returns x - y.
func (x Num) Sub(y Num) Num { return x.Add(y.Neg()) }

// Neg returns -x.
func (x Num) Neg() Num {
	if x.wide != nil {
		return negWide(x)
	}
	x.p, x.q = -x.p, -x.q
	return x
}

// Mul returns x times y.
func (x Num) Mul(y Num) Num {
	if x.wide == nil && y.wide == nil {
		if x.q|y.q == 0 {
			p, ok1 := mulOK(x.p, y.p)
			d, ok2 := mulOK(x.e+1, y.e+1)
			if ok1 && ok2 {
				return reduced(p, 0, d-1)
			}
		} else if n, ok := product(x.p, x.q, x.e+1, y.p, y.q, y.e+1); ok {
			return n
		}
	}
	return mulWide(x, y)
}

// Div returns x divided by y. It panics when y is 0.
func (x Num) Div(y Num) Num {
	if y.IsZero() {
		panic("exact: division by zero")
	}
	if x.wide == nil && y.wide == nil {
		if y.q == 0 {
			num, den := y.e+1, y.p
			if den < 0 {
				num, den = -num, -den
			}
			p, ok1 := mulOK(x.p, num)
			q, ok2 := mulOK(x.q, num)
			d, ok3 := mulOK(x.e+1, den)
			if ok1 && ok2 && ok3 {
				return reduced(p, q, d-1)
			}
		} else if n, ok := quotient(x, y); ok {
			return n
		}
	}
	return divWide(x, y)
}

// Half returns x/2.
func (x Num) Half() Num { return x.Div(Num{p: 2}) }

// Sign returns -1, 0 or 1 for x below, at or above 0.
func (x Num) Sign() int {
	if x.wide != nil {
		return x.wide.sign()
	}
	return signOf(x.p, x.q)
}

// Cmp returns -1, 0 or 1 for x below, equal to or above y.
func (x Num) Cmp(y Num) int {
	if x.wide == nil && y.wide == nil && x.q == y.q && x.e == y.e {
		switch {
		case x.p < y.p:
			return -1
		case x.p > y.p:
			return 1
		}
		return 0
	}
	return x.Sub(y).Sign()
}

// Equal reports whether x and y are the same number.
func (x Num) Equal(y Num) bool {
	if x.wide == nil || y.wide == nil {
		return x == y // canonical: a wide number never equals one that fits
	}
	return x.wide.equal(y.wide)
}

// Less reports whether x is below y.
func (x Num) Less(y Num) bool { return x.Cmp(y) < 0 }

// IsZero reports whether x is 0.
func (x Num) IsZero() bool { return x == Num{} }

// IsRational reports whether x has no part in √2.
func (x Num) IsRational() bool {
	if x.wide != nil {
		return x.wide.q.Sign() == 0
	}
	return x.q == 0
}

// Rat returns x as a fraction in lowest terms with den > 0. ok is false where x is irrational or too large for int64.
func (x Num) Rat() (num, den int64, ok bool) {
	if x.wide != nil || x.q != 0 {
		return 0, 0, false
	}
	return x.p, x.e + 1, true
}

// Float returns the float64 nearest to x, at most 2 units in the last place off.
func (x Num) Float() float64 {
	const exactly = 1 << 53
	if x.wide != nil {
		return x.wide.float()
	}
	d := float64(x.e + 1)
	if x.q == 0 {
		if x.p > -exactly && x.p < exactly && x.e < exactly {
			return float64(x.p) / d
		}
		return widen(x).float()
	}
	const small = 1 << 26
	if x.p <= -small || x.p >= small || x.q <= -small || x.q >= small || x.e >= exactly {
		return widen(x).float()
	}
	p, q := float64(x.p), float64(x.q)*math.Sqrt2
	if x.p != 0 && (x.p < 0) != (x.q < 0) {
		// The parts nearly cancel; (p² - 2q²)/(p - q√2) has no such loss.
		return float64(x.p*x.p-2*x.q*x.q) / (p - q) / d
	}
	return (p + q) / d
}

// signOf returns the sign of p + q√2.
func signOf(p, q int64) int {
	sp, sq := sign(p), sign(q)
	if sp == sq || sq == 0 {
		return sp
	}
	if sp == 0 {
		return sq
	}
	ph, pl := bits.Mul64(magnitude(p), magnitude(p))
	qh, ql := bits.Mul64(magnitude(q), magnitude(q))
	qh, ql = qh<<1|ql>>63, ql<<1 // 2q² < 2^127
	if ph > qh || ph == qh && pl > ql {
		return sp
	}
	return sq // p² = 2q² has no solution but 0
}

func sign(n int64) int {
	switch {
	case n < 0:
		return -1
	case n > 0:
		return 1
	}
	return 0
}

// sum returns p1/d1 + p2/d2, where p stands for p + q√2.
func sum(p1, q1, d1, p2, q2, d2 int64) (Num, bool) {
	if d1 != 1 && d2 != 1 {
		g := gcd(uint64(d1), uint64(d2))
		d1, d2 = d1/int64(g), d2/int64(g)
		p, ok1 := crossOK(p1, d2, p2, d1)
		q, ok2 := crossOK(q1, d2, q2, d1)
		d, ok3 := mulOK(d1, d2)
		if !(ok1 && ok2 && ok3) {
			return Num{}, false
		}
		// A factor common to p, q and the new denominator is one of g: a prime outside g divides just one of the two
		// denominators, and so not both parts of the sum.
		common := int64(1)
		if g > 1 {
			common = int64(gcd(gcd(g, magnitude(p)), magnitude(q)))
		}
		d, ok4 := mulOK(d, int64(g)/common)
		return Num{p: p / common, q: q / common, e: d - 1}, ok4
	}
	p, ok1 := crossOK(p1, d2, p2, d1)
	q, ok2 := crossOK(q1, d2, q2, d1)
	if !(ok1 && ok2) {
		return Num{}, false
	}
	return Num{p: p, q: q, e: d1*d2 - 1}, true // one of them is 1, so this is in lowest terms already
}

// product returns (p1 + q1√2)(p2 + q2√2)/(d1 d2).
func product(p1, q1, d1, p2, q2, d2 int64) (Num, bool) {
	p, ok1 := crossOK(p1, p2, q1, q2)
	qq, ok2 := mulOK(q1, q2)
	p, ok3 := addOK(p, qq)
	q, ok4 := crossOK(p1, q2, q1, p2)
	d, ok5 := mulOK(d1, d2)
	if !(ok1 && ok2 && ok3 && ok4 && ok5) {
		return Num{}, false
	}
	return reduced(p, q, d-1), true
}

// quotient returns x/y for y with a part in √2: x times the conjugate of y, over the norm of y.
func quotient(x, y Num) (Num, bool) {
	pp, ok1 := mulOK(y.p, y.p)
	qq, ok2 := mulOK(y.q, y.q)
	qq, ok3 := mulOK(qq, -2)
	norm, ok4 := addOK(pp, qq)
	if !(ok1 && ok2 && ok3 && ok4) {
		return Num{}, false
	}
	p, q := y.p, -y.q
	if norm < 0 {
		p, q, norm = -p, -q, -norm
	}
	n, ok := product(x.p, x.q, x.e+1, p, q, norm)
	if !ok {
		return Num{}, false
	}
	p, ok1 = mulOK(n.p, y.e+1)
	q, ok2 = mulOK(n.q, y.e+1)
	if !(ok1 && ok2) {
		return Num{}, false
	}
	return reduced(p, q, n.e), true
}

// reduced returns (p + q√2)/(e+1) in lowest terms. No part may be the least int64.
func reduced(p, q, e int64) Num {
	if e != 0 {
		if d := uint64(e + 1); d&(d-1) == 0 { // halves, quarters, eighths: most lengths
			shift := bits.TrailingZeros64(d | uint64(p) | uint64(q)) // no more than d has
			return Num{p: p >> shift, q: q >> shift, e: int64(d>>shift) - 1}
		}
		g := gcd(uint64(e+1), magnitude(p))
		if g != 1 && q != 0 {
			g = gcd(g, magnitude(q))
		}
		if g != 1 {
			p, q, e = p/int64(g), q/int64(g), (e+1)/int64(g)-1
		}
	}
	return Num{p: p, q: q, e: e}
}

// gcd returns the greatest common divisor of numbers below 2^63; gcd(a, 0) = a.
func gcd(a, b uint64) uint64 {
	if a == 0 || b == 0 {
		return a | b
	}
	twos := bits.TrailingZeros64(a | b)
	a >>= bits.TrailingZeros64(a)
	b >>= bits.TrailingZeros64(b)
	for a != b {
		// The lesser and the odd part of the difference, without a branch that would be guessed wrong half the time.
		diff := int64(b - a)
		below := diff >> 63
		a += uint64(diff & below)
		diff = (diff ^ below) - below
		b = uint64(diff) >> bits.TrailingZeros64(uint64(diff))
	}
	return a << twos
}

func magnitude(n int64) uint64 {
	if n < 0 {
		return -uint64(n)
	}
	return uint64(n)
}

// addOK returns a + b, and whether it lies within ±(2^63 - 1).
func addOK(a, b int64) (int64, bool) {
	s := a + b
	return s, (s > a) == (b > 0) && s != math.MinInt64
}

// mulOK returns a b, and whether it lies within ±(2^63 - 1).
func mulOK(a, b int64) (int64, bool) {
	const half = 1 << 31
	if uint64(a+half)|uint64(b+half) < 2*half {
		return a * b, true
	}
	hi, lo := bits.Mul64(magnitude(a), magnitude(b))
	return a * b, hi == 0 && lo <= math.MaxInt64
}

// crossOK returns a b + c d, and whether every step lies within ±(2^63 - 1).
func crossOK(a, b, c, d int64) (int64, bool) {
	ab, ok1 := mulOK(a, b)
	cd, ok2 := mulOK(c, d)
	s, ok3 := addOK(ab, cd)
	return s, ok1 && ok2 && ok3
}

package exact

import (
	"math"
	"math/big"
	"testing"

	"pgregory.net/rapid"

	_ "quiltwright/internal/seed"
)

// pair is the oracle: a + b√2 in math/big, nothing shared with Num.
type pair struct{ a, b *big.Rat }

func rat(n, d int64) *big.Rat { return big.NewRat(n, d) }

func (x pair) add(y pair) pair { return pair{new(big.Rat).Add(x.a, y.a), new(big.Rat).Add(x.b, y.b)} }
func (x pair) neg() pair       { return pair{new(big.Rat).Neg(x.a), new(big.Rat).Neg(x.b)} }
func (x pair) mul(y pair) pair {
	m := func(p, q *big.Rat) *big.Rat { return new(big.Rat).Mul(p, q) }
	return pair{new(big.Rat).Add(m(x.a, y.a), m(rat(2, 1), m(x.b, y.b))), new(big.Rat).Add(m(x.a, y.b), m(x.b, y.a))}
}

// float is the value to 4,000 bits, more than any number here needs to tell it from 0.
func (x pair) float() *big.Float {
	f := func() *big.Float { return new(big.Float).SetPrec(4000) }
	root := f().Sqrt(f().SetInt64(2))
	return f().Add(f().SetRat(x.a), root.Mul(root, f().SetRat(x.b)))
}

// is reports whether n is the number x, from the parts that n prints.
func (x pair) is(n Num) bool {
	w := widen(n)
	return x.a.Cmp(new(big.Rat).SetFrac(w.p, w.d)) == 0 && x.b.Cmp(new(big.Rat).SetFrac(w.q, w.d)) == 0
}

// part draws an int64 of any size: small, near the ends, or between.
func part(t *rapid.T, label string) int64 {
	return rapid.OneOf(rapid.Int64Range(-12, 12), rapid.Int64Range(-1<<33, 1<<33), rapid.Int64(),
		rapid.SampledFrom([]int64{math.MaxInt64, math.MinInt64, math.MinInt64 + 1, 1 << 31, -1 << 31, 1<<32 + 1})).Draw(t, label)
}

func number(t *rapid.T, label string) (Num, pair) {
	ad, bd := int64(1), int64(1)
	if rapid.Bool().Draw(t, label+" has fractions") {
		ad, bd = part(t, label+" ad"), part(t, label+" bd")
		if ad == 0 {
			ad = 64
		}
		if bd == 0 {
			bd = 64
		}
	}
	an, bn := part(t, label+" an"), int64(0)
	if rapid.Bool().Draw(t, label+" has √2") {
		bn = part(t, label+" bn")
	}
	return New(an, ad, bn, bd), pair{rat(an, ad), rat(bn, bd)}
}

func TestArithmeticAgreesWithBig(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x, px := number(t, "x")
		y, py := number(t, "y")
		if rapid.Bool().Draw(t, "related") { // near or equal values, where signs and cancelling are hard
			z, pz := number(t, "z")
			y, py = x.Add(z).Sub(x), pz
			if rapid.Bool().Draw(t, "equal") {
				y, py = x.Add(z).Sub(z), px
			}
		}
		if !px.is(x) || !py.is(y) {
			t.Fatalf("x is %v, not %v; y is %v, not %v", x, px, y, py)
		}
		if got := x.Add(y); !px.add(py).is(got) {
			t.Errorf("%v + %v = %v", x, y, got)
		}
		if got := x.Sub(y); !px.add(py.neg()).is(got) {
			t.Errorf("%v - %v = %v", x, y, got)
		}
		if got := x.Mul(y); !px.mul(py).is(got) {
			t.Errorf("%v * %v = %v", x, y, got)
		}
		if !y.IsZero() {
			if got := x.Div(y); !got.Mul(y).Equal(x) {
				t.Errorf("%v / %v = %v", x, y, got)
			}
		}
		if got := x.Half(); !got.Add(got).Equal(x) {
			t.Errorf("half of %v = %v", x, got)
		}
		fx, fy := px.float(), py.float()
		if got := x.Sign(); got != fx.Sign() {
			t.Errorf("sign of %v = %d", x, got)
		}
		if got := x.Cmp(y); got != fx.Cmp(fy) {
			t.Errorf("%v against %v = %d", x, y, got)
		}
		equal := fx.Cmp(fy) == 0
		if x.Equal(y) != equal || (x.Key() == y.Key()) != equal || x.Less(y) != (fx.Cmp(fy) < 0) {
			t.Errorf("%v and %v: Equal %v, keys %s %s", x, y, x.Equal(y), x.Key(), y.Key())
		}
		if x.wide == nil && y.wide == nil && (x == y) != equal {
			t.Errorf("%v == %v is %v", x, y, x == y)
		}
		if !Min(x, y).Add(Max(x, y)).Equal(x.Add(y)) || Max(x, y).Less(Min(x, y)) {
			t.Errorf("least %v, greatest %v of %v, %v", Min(x, y), Max(x, y), x, y)
		}
		if x.IsRational() != (px.b.Sign() == 0) || x.IsZero() != (fx.Sign() == 0) {
			t.Errorf("%v: rational %v, zero %v", x, x.IsRational(), x.IsZero())
		}
	})
}

func TestFormIsCanonical(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x, _ := number(t, "x")
		y, _ := number(t, "y")
		for _, n := range []Num{x, x.Add(y), x.Sub(y), x.Mul(y), x.Neg(), x.Half()} {
			w := widen(n)
			g := new(big.Int).GCD(nil, nil, new(big.Int).Abs(w.p), new(big.Int).Abs(w.q))
			if g.GCD(nil, nil, g, w.d); w.d.Sign() <= 0 || g.Cmp(big.NewInt(1)) != 0 {
				t.Errorf("%v is (%v + %v√2)/%v", n, w.p, w.q, w.d)
			}
			fits := w.p.BitLen() < 64 && w.q.BitLen() < 64 && w.d.BitLen() < 64
			if fits != (n.wide == nil) {
				t.Errorf("%v fits int64: %v, is kept so: %v", n, fits, n.wide == nil)
			}
		}
	})
}

func TestFloatIsNear(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x, px := number(t, "x")
		want, _ := px.float().Float64()
		got := x.Float()
		if ulp := math.Nextafter(math.Abs(want), math.Inf(1)) - math.Abs(want); math.Abs(got-want) > 2*ulp {
			t.Errorf("%v = %v, want %v", x, got, want)
		}
	})
}

// TestNearMisses takes the best rational neighbours of √2, which a comparison of floats cannot tell from it.
func TestNearMisses(t *testing.T) {
	p, q := int64(1), int64(1)
	for below := true; p < math.MaxInt64/4; below = !below {
		x := Sqrt2().Sub(Frac(p, q))
		if want := map[bool]int{true: 1, false: -1}[below]; x.Sign() != want {
			t.Errorf("√2 - %d/%d has sign %d, want %d", p, q, x.Sign(), want)
		}
		want := 1 / (float64(q) * float64(q) * 2 * math.Sqrt2) // the error of a convergent, to its leading term
		if got := math.Abs(x.Float()); q > 1e6 && math.Abs(got/want-1) > 1e-9 {
			t.Errorf("√2 - %d/%d = %v, want %v", p, q, got, want)
		}
		p, q = p+2*q, p+q
	}
}

func TestString(t *testing.T) {
	for _, c := range []struct {
		n    Num
		want string
	}{
		{Num{}, "0"}, {Int(12), "12"}, {Frac(1, 4), "1/4"}, {Frac(31, 8), "3 7/8"}, {Frac(31, -8), "-3 7/8"},
		{Frac(-2, 6), "-1/3"}, {Sqrt2(), "√2"}, {Sqrt2().Neg(), "-√2"}, {New(1, 2, 3, 2), "1/2+3/2√2"},
		{New(1, 1, -1, 1), "1-√2"}, {New(7, 2, 1, 1), "7/2+√2"}, {New(0, 1, 2, 1), "2√2"}, {New(1, 1, -2, 3), "1-2/3√2"},
		{Int(math.MinInt64), "-9223372036854775808"}, {Int(math.MaxInt64).Add(Frac(1, 2)), "9223372036854775807 1/2"},
	} {
		if got := c.n.String(); got != c.want {
			t.Errorf("got %q, want %q", got, c.want)
		}
	}
}

func TestRat(t *testing.T) {
	if n, d, ok := Frac(6, -4).Rat(); n != -3 || d != 2 || !ok {
		t.Errorf("6/-4 is %d/%d, %v", n, d, ok)
	}
	for _, x := range []Num{Sqrt2(), Int(math.MaxInt64).Mul(Int(3))} {
		if _, _, ok := x.Rat(); ok {
			t.Errorf("%v has no fraction in int64", x)
		}
	}
}

func TestDivisionByZeroPanics(t *testing.T) {
	defer func() {
		if recover() == nil {
			t.Error("no panic")
		}
	}()
	Frac(1, 0)
}

var sink Num

// BenchmarkCrossings meets 100,000 pairs of lines with grid steps and halves as coordinates, as blocks are drawn; the aim is 10 ms.
func BenchmarkCrossings(b *testing.B) {
	const pairs = 100_000
	var c [256]Num
	for i := range c {
		c[i] = Frac(int64(i*i%97), 2)
	}
	for b.Loop() {
		for i := range pairs {
			at := func(k int) Num { return c[(i+k*37)&255] }
			rx, ry := at(0).Sub(at(1)), at(2).Sub(at(3))
			ux, uy := at(4).Sub(at(5)), at(6).Sub(at(7))
			d := rx.Mul(uy).Sub(ry.Mul(ux))
			if d.IsZero() {
				continue
			}
			along := at(5).Sub(at(1)).Mul(uy).Sub(at(7).Sub(at(3)).Mul(ux)).Div(d)
			sink = at(1).Add(rx.Mul(along)).Add(at(3).Add(ry.Mul(along)))
		}
	}
}

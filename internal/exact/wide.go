package exact

import "math/big"

// wide is (p + q√2)/d in lowest terms with d > 0, for values that do not fit int64. Never changed once made.
type wide struct{ p, q, d *big.Int }

// widen returns x in big parts.
func widen(x Num) *wide {
	if x.wide != nil {
		return x.wide
	}
	d := big.NewInt(x.e)
	return &wide{big.NewInt(x.p), big.NewInt(x.q), d.Add(d, big.NewInt(1))}
}

// narrow returns (p + q√2)/d in canonical form: in int64 wherever that is enough. It keeps and changes its arguments; d is not 0.
func narrow(p, q, d *big.Int) Num {
	if d.Sign() < 0 {
		p.Neg(p)
		q.Neg(q)
		d.Neg(d)
	}
	g := new(big.Int).GCD(nil, nil, new(big.Int).Abs(p), new(big.Int).Abs(q))
	g.GCD(nil, nil, g, d)
	if g.BitLen() > 1 {
		p.Quo(p, g)
		q.Quo(q, g)
		d.Quo(d, g)
	}
	if p.BitLen() < 64 && q.BitLen() < 64 && d.BitLen() < 64 {
		return Num{p: p.Int64(), q: q.Int64(), e: d.Int64() - 1}
	}
	return Num{wide: &wide{p, q, d}}
}

func mulBig(a, b *big.Int) *big.Int { return new(big.Int).Mul(a, b) }

func addWide(x, y Num) Num {
	a, b := widen(x), widen(y)
	p, q := mulBig(a.p, b.d), mulBig(a.q, b.d)
	return narrow(p.Add(p, mulBig(b.p, a.d)), q.Add(q, mulBig(b.q, a.d)), mulBig(a.d, b.d))
}

func negWide(x Num) Num {
	return Num{wide: &wide{new(big.Int).Neg(x.wide.p), new(big.Int).Neg(x.wide.q), x.wide.d}}
}

func mulWide(x, y Num) Num {
	a, b := widen(x), widen(y)
	p, qq := mulBig(a.p, b.p), mulBig(a.q, b.q)
	p.Add(p, qq.Lsh(qq, 1))
	q := mulBig(a.p, b.q)
	q.Add(q, mulBig(a.q, b.p))
	return narrow(p, q, mulBig(a.d, b.d))
}

func divWide(x, y Num) Num {
	b := widen(y)
	norm, qq := mulBig(b.p, b.p), mulBig(b.q, b.q)
	norm.Sub(norm, qq.Lsh(qq, 1))
	q := mulBig(b.q, b.d)
	return mulWide(x, narrow(mulBig(b.p, b.d), q.Neg(q), norm))
}

func (w *wide) sign() int {
	sp, sq := w.p.Sign(), w.q.Sign()
	if sp == sq || sq == 0 {
		return sp
	}
	if sp == 0 {
		return sq
	}
	qq := mulBig(w.q, w.q)
	if mulBig(w.p, w.p).Cmp(qq.Lsh(qq, 1)) > 0 {
		return sp
	}
	return sq
}

func (w *wide) equal(v *wide) bool {
	return w.p.Cmp(v.p) == 0 && w.q.Cmp(v.q) == 0 && w.d.Cmp(v.d) == 0
}

func (w *wide) float() float64 {
	// p and q√2 may cancel all but 1/(|p| + |q|√2), which costs twice the bits of the longer one.
	prec := uint(2*max(w.p.BitLen(), w.q.BitLen()) + w.d.BitLen() + 128)
	float := func() *big.Float { return new(big.Float).SetPrec(prec) }
	s := float().SetInt64(2)
	s.Sqrt(s)
	s.Mul(s, float().SetInt(w.q))
	s.Add(s, float().SetInt(w.p))
	s.Quo(s, float().SetInt(w.d))
	f, _ := s.Float64()
	return f
}

package exact

import (
	"math/big"
	"strconv"
	"strings"
)

// String returns x as a person writes it: "12", "7/8", "-3 7/8"; with a part in √2 as "1/2+3/2√2", "1-√2", "2√2".
func (x Num) String() string {
	w := widen(x)
	if w.q.Sign() == 0 {
		return mixed(w.p, w.d)
	}
	var b strings.Builder
	if w.p.Sign() != 0 {
		b.WriteString(fraction(w.p, w.d))
		if w.q.Sign() > 0 {
			b.WriteByte('+')
		}
	}
	switch f := fraction(w.q, w.d); f {
	case "1":
	case "-1":
		b.WriteByte('-')
	default:
		b.WriteString(f)
	}
	b.WriteString("√2")
	return b.String()
}

// fraction returns n/d in lowest terms, without the stroke where d divides n.
func fraction(n, d *big.Int) string {
	r := new(big.Rat).SetFrac(n, d)
	if r.IsInt() {
		return r.Num().String()
	}
	return r.String()
}

// mixed returns n/d as a whole number and a fraction: "3 7/8".
func mixed(n, d *big.Int) string {
	whole, rest := new(big.Int).QuoRem(n, d, new(big.Int))
	if whole.Sign() == 0 || rest.Sign() == 0 {
		return fraction(n, d)
	}
	return whole.String() + " " + fraction(rest.Abs(rest), d)
}

// AppendKey appends a compact text that is the same for equal numbers and different for others, made of digits and
// "-", "~", "/" only, so that "," and the space may separate keys.
func (x Num) AppendKey(b []byte) []byte {
	if x.wide != nil {
		b = x.wide.p.Append(b, 10)
		b = append(b, '~')
		b = x.wide.q.Append(b, 10)
		b = append(b, '/')
		return x.wide.d.Append(b, 10)
	}
	b = strconv.AppendInt(b, x.p, 10)
	if x.q != 0 {
		b = append(b, '~')
		b = strconv.AppendInt(b, x.q, 10)
	}
	if x.e != 0 {
		b = append(b, '/')
		b = strconv.AppendInt(b, x.e+1, 10)
	}
	return b
}

// Key returns what AppendKey appends.
func (x Num) Key() string { return string(x.AppendKey(nil)) }

package piecing

import (
	"math/bits"

	"quiltwright/internal/exact"
	"quiltwright/internal/plane"
)

// Coordinates are compared by their residues modulo the prime 2⁶¹ - 1, in which 2 has the square root 2³¹. Taking residues
// respects +, -, ×, ÷, so moving and turning points by 45 degrees is as exact as with exact.Num and takes a few machine
// instructions. Different numbers have equal residues by a chance of 2⁻⁶¹, so residues say what is equal, and never what
// is greater.
const prime = 1<<61 - 1

const (
	rootOfTwo     = 1 << 31
	rootOfTwoHalf = 1 << 30
)

func addMod(a, b uint64) uint64 {
	s := a + b
	if s >= prime {
		s -= prime
	}
	return s
}

func subMod(a, b uint64) uint64 {
	if a < b {
		a += prime
	}
	return a - b
}

func mulMod(a, b uint64) uint64 {
	hi, lo := bits.Mul64(a, b)
	return addMod(lo&prime, hi<<3|lo>>61)
}

func negMod(a uint64) uint64 { return subMod(0, a) }

// inverseMod returns 1/a, and 0 for 0.
func inverseMod(a uint64) uint64 {
	result := uint64(1)
	for e := uint64(prime - 2); e > 0; e >>= 1 {
		if e&1 == 1 {
			result = mulMod(result, a)
		}
		a = mulMod(a, a)
	}
	return result
}

func intMod(n int64) uint64 {
	if n < 0 {
		return negMod(uint64(-n) % prime)
	}
	return uint64(n) % prime
}

// residues remembers residues and inverses.
type residues struct {
	known   map[exact.Num]uint64
	inverse map[uint64]uint64
}

func newResidues() *residues {
	return &residues{known: map[exact.Num]uint64{}, inverse: map[uint64]uint64{}}
}

// of returns the residue of x.
func (r *residues) of(x exact.Num) uint64 {
	n, d, rational := x.Rat()
	if rational && d == 1 {
		return intMod(n)
	}
	v, ok := r.known[x]
	if !ok {
		if rational {
			v = mulMod(intMod(n), r.inv(intMod(d)))
		} else {
			v = r.read(x.AppendKey(nil))
		}
		r.known[x] = v
	}
	return v
}

// inv returns 1/a.
func (r *residues) inv(a uint64) uint64 {
	if a == 1 {
		return 1
	}
	v, ok := r.inverse[a]
	if !ok {
		v = inverseMod(a)
		r.inverse[a] = v
	}
	return v
}

// read returns the residue of the number with that key: "p", "p~q", "p/d" or "p~q/d" for (p + q√2)/d.
func (r *residues) read(key []byte) uint64 {
	var parts [3]uint64 // p, q, d
	parts[2] = 1
	at, negative := 0, false
	number := uint64(0)
	store := func() {
		if negative {
			number = negMod(number)
		}
		parts[at] = number
		number, negative = 0, false
	}
	for _, c := range key {
		switch c {
		case '~':
			store()
			at = 1
		case '/':
			store()
			at = 2
		case '-':
			negative = true
		default:
			number = addMod(mulMod(number, 10), uint64(c-'0'))
		}
	}
	store()
	return mulMod(addMod(parts[0], mulMod(parts[1], rootOfTwo)), r.inv(parts[2]))
}

// spot is a point, or a vector, by residues.
type spot struct{ x, y uint64 }

func (r *residues) spot(p plane.Point) spot { return spot{r.of(p.X), r.of(p.Y)} }

func (p spot) add(q spot) spot       { return spot{addMod(p.x, q.x), addMod(p.y, q.y)} }
func (p spot) sub(q spot) spot       { return spot{subMod(p.x, q.x), subMod(p.y, q.y)} }
func (p spot) times(f uint64) spot   { return spot{mulMod(p.x, f), mulMod(p.y, f)} }
func (p spot) dot(q spot) uint64     { return addMod(mulMod(p.x, q.x), mulMod(p.y, q.y)) }
func (p spot) crossed(q spot) uint64 { return subMod(mulMod(p.x, q.y), mulMod(p.y, q.x)) }

// turned returns the vector turned clockwise by so many eighths of a full turn, 0..7.
func (p spot) turned(eighths int) spot {
	if eighths&1 == 1 {
		p = spot{mulMod(subMod(p.x, p.y), rootOfTwoHalf), mulMod(addMod(p.x, p.y), rootOfTwoHalf)}
	}
	switch eighths >> 1 & 3 {
	case 1:
		return spot{negMod(p.y), p.x}
	case 2:
		return spot{negMod(p.x), negMod(p.y)}
	case 3:
		return spot{p.y, negMod(p.x)}
	}
	return p
}

// lie is a pose without mirroring, by residues.
type lie struct {
	at   spot
	turn int // eighths
}

func (l lie) apply(p spot) spot { return p.turned(l.turn).add(l.at) }

// then returns the lie that does l first and m after it.
func (l lie) then(m lie) lie { return lie{at: m.apply(l.at), turn: (l.turn + m.turn) & 7} }

func (r *residues) lie(p plane.Pose) lie {
	return lie{at: r.spot(p.At), turn: int(p.Turn.Norm()) / 45}
}

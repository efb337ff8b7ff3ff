package piecing

import "fmt"

// What a region consists of is condensed into a digest that does not depend on where it lies nor on how it is turned.
// Two regions are equal when their digests are, by a chance of error of 2⁻⁶⁰ or less.

// digest is the sum of the digests of the things in a region, each of which depends on its content, turn and place.
type digest struct{ hi, lo uint64 }

func (d digest) less(e digest) bool { return d.hi < e.hi || d.hi == e.hi && d.lo < e.lo }

func (d *digest) add(e digest) {
	d.hi += e.hi
	d.lo += e.lo
}

// mix condenses words that belong together.
func mix(words ...uint64) digest {
	d := digest{0x9e3779b97f4a7c15, 0xd1b54a32d192ed03}
	for _, w := range words {
		d.hi = scramble(d.hi ^ w)
		d.lo = scramble(d.lo + w*0xff51afd7ed558ccd)
	}
	return d
}

// scramble is the finishing step of the splitmix64 generator.
func scramble(x uint64) uint64 {
	x += 0x9e3779b97f4a7c15
	x = (x ^ x>>30) * 0xbf58476d1ce4e5b9
	x = (x ^ x>>27) * 0x94d049bb133111eb
	return x ^ x>>31
}

// class says which content a region has and how it is turned: turned by turn eighths of a full turn, clockwise, it is in
// canonical position, the turn of least digest. It looks the same again after period eighths.
type class struct {
	digest digest
	turn   int
	period int
	// A right triangle of equal legs has its legs along the axes or its long side. Which of them is on the straight grain
	// differs, so the two are never the same thing.
	grain bool
}

// classKey is equal for equal things.
type classKey struct {
	digest digest
	parity uint8
}

// key returns the key of the thing as seen in a frame that is turned by so many eighths from the one that the class is of.
func (c class) key(frame int) classKey {
	k := classKey{digest: c.digest}
	if c.grain {
		k.parity = 1 + uint8((c.turn-frame)&1)
	}
	return k
}

// String returns the key as a plan prints it: 8 hexadecimal digits.
func (k classKey) String() string {
	return fmt.Sprintf("%08x", uint32(k.digest.hi>>32)+uint32(k.parity))
}

// classOf takes the digests of a region at its eight turns.
func classOf(at [8]digest, grain bool) class {
	c := class{digest: at[0], period: 8, grain: grain}
	for t := 1; t < 8; t++ {
		if at[t].less(c.digest) {
			c.digest, c.turn = at[t], t
		}
	}
	for p := 1; p < 8; p *= 2 {
		if at[p] == at[0] {
			c.period = p
			break
		}
	}
	return c
}

// item is one of the things that a region consists of.
type item struct {
	ref   spot // turns and moves with the thing, and stays where it is when the thing is turned into itself
	class class
}

// contentOf returns the class of the things together. Domain keeps apart what is put together in different ways.
func contentOf(domain uint64, n int, thing func(int) item, grain bool) class {
	var sum spot
	for i := range n {
		sum = sum.add(thing(i).ref)
	}
	count := uint64(n) % prime
	var at [8]digest
	for i := range n {
		it := thing(i)
		rel := it.ref.times(count).sub(sum) // n times the way from the middle of all refs
		for t := range 8 {
			r := rel.turned(t)
			turn := uint64(((it.class.turn-t)%it.class.period + it.class.period) % it.class.period)
			at[t].add(mix(domain, it.class.digest.hi, it.class.digest.lo, turn, r.x, r.y))
		}
	}
	return classOf(at, grain)
}

// Domains.
const (
	ofPatches = 1 + iota // a region of a block, down to its patches
	ofUnits              // a part of the top, down to the units that are sewn together
)

// patchClass returns the class of one patch: corners around its outline, a word for its fabric, and the direction of its
// print in eighths with the number of eighths after which it looks the same (1: a plain print).
func patchClass(corners []spot, fabric uint64, up, every int, grain bool) class {
	n := uint64(len(corners))
	var sum spot
	for _, c := range corners {
		sum = sum.add(c)
	}
	var at [8]digest
	for i, c := range corners {
		a := c.times(n).sub(sum)
		b := corners[(i+1)%len(corners)].times(n).sub(sum)
		for t := range 8 {
			a, b := a.turned(t), b.turned(t)
			at[t].add(mix(a.x, a.y, b.x, b.y))
		}
	}
	for t := range 8 {
		at[t].add(mix(fabric, uint64((up+t)%every), uint64(every)))
	}
	return classOf(at, grain)
}

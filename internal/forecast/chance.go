package forecast

// chance is a seeded source of errors. It is written out here so that a forecast is the same with every version and on every machine.
type chance struct{ state uint64 }

// next is one step of the generator known as splitmix64.
func (c *chance) next() uint64 {
	c.state += 0x9e3779b97f4a7c15
	z := c.state
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

// error is a value of mean 0 and spread (standard deviation) 1: the sum of four throws that are equally likely anywhere between two ends.
// It is near a bell curve, and never beyond 3.46: a person throws away what is cut that wrong.
func (c *chance) error() float64 {
	z := c.next()
	sum := z&0xffff + z>>16&0xffff + z>>32&0xffff + z>>48
	return (float64(sum) - 131070) * spreadOfFour
}

// spreadOfFour scales the sum of four 16 bit numbers to a spread of 1: one has the variance (2^32 - 1)/12.
const spreadOfFour = 1 / 37837.2272372

package dist

// component is the i-th component of the lattices' generating vector, which serves every
// power of two from 2⁹ to 2¹⁵ points: one after another, so that the squared error over
// periodic functions with square mixed derivatives, the i-th coordinate weighing 1/i, is the
// smallest multiple of the least there is, at the number of points where it is largest
// (component by component: Sloan & Reztsov 2002; one vector for many numbers of points: Cools,
// Kuo & Nuyens 2006, SIAM J. Sci. Comput. 28). Past the last it begins anew, and the error that
// the shifts tell grows.
func component(i int) int { return generator[i%len(generator)] }

var generator = [...]int{
	1, 9921, 11891, 7587, 9155, 15317, 14681, 1053, 8339, 11461, 16275, 477, 14039, 8375, 12781, 1019,
	12465, 6665, 16045, 6693, 277, 5495, 10863, 5921, 1945, 5023, 16301, 11017, 11309, 4333, 2433, 1247,
	8175, 11837, 7799, 3719, 5275, 11759, 8789, 14723, 10489, 10263, 14893, 11333, 14557, 7333, 9961, 9321,
	14351, 13027, 3327, 1141, 3393, 11069, 11271, 2595, 15881, 12031, 11483, 5685, 2991, 3189, 11659, 13989,
}

package prove

func (v *prover) checkFabrics() {}
func (v *prover) checkDrawn()   {}
func (v *prover) checkCounts()  {}
func (v *prover) checkSteps()   {}
func (v *prover) checkFinish()  {}
func (v *prover) checkPress()   {}

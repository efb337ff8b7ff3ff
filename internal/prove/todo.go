package prove

func (v *prover) checkFabrics() {}
func (v *prover) checkFinish()  {}
func (v *prover) checkPress()   {}

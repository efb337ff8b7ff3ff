package book

// The book's own standing sentences, all in one place. What depends on the plan's steps and pieces
// comes from package words.
const (
	subject = "A sewing pattern for a quilt"

	incomplete = "Not complete: the document has errors. Do not cut from these pages."

	headBefore    = "Before you cut"
	headMaterials = "Materials"
	headCutting   = "Cutting"
	headLayout    = "Layout"
	headTop       = "Sewing the top"
	headSamples   = "Samples to show"
	headTemplates = "Templates"
	headProof     = "The proof"
	headContents  = "In this pattern"
	headWriter    = "A word from the designer"

	seamInch = "Sew three strips **1 1/2 in** wide side by side and press. They must measure **3 1/2 in** across, and the middle one **1 in**. " +
		"If they measure less, sew a thread nearer to the edge; if more, a thread further in. Cut nothing else until they do."
	seamCentimetre = "Sew three strips **4 cm** wide side by side and press. They must measure **9 cm** across, and the middle one **2.5 cm**. " +
		"If they measure less, sew a thread nearer to the edge; if more, a thread further in. Cut nothing else until they do."
	seamOther = "Sew two scraps together with a seam of %s, press, and measure from edge to edge: what the two measured before, less %s. " +
		"If they measure less, sew a thread nearer to the edge; if more, a thread further in. Cut nothing else until they do."

	oneFirst = "Cut for one block of each kind, make it and measure it, before you cut the rest."

	readIntro = "Each step shows the work before and after. All drawings of one unit have one scale."

	cautionCutter = "**The cutter.** Close the blade each time you put it down. Cut away from your body, with your fingers off the edge of the ruler. " +
		"Wear closed shoes. Keep cutters where children cannot reach them."
	keepLeft = "Keep what is left over, with the letter of its cloth: later months are cut from it before they take new cloth."

	cautionIron = "**The iron.** Lift and lower it; do not slide it. Keep your fingers out of the steam. Switch it off when you leave it. " +
		"Count pins and needles before you begin and when you stop."

	samplesNote = "For a class: one of every unit as it is after each of its steps, to hold up and pass round. The cutting list and the cloth have their pieces in them."

	templateNote = "Printed at true size: choose “actual size” and no scaling, then measure both squares. The outer line is the cutting line and includes the seam " +
		"allowance; the dashed line is the seam. Templates lie on the right side of the cloth."

	overviewNote = "Not to size: these are the templates on the sheets that follow."

	headExpected = "What to expect"

	bulkNote = "The most layers of cloth at the crossings of seams once all is pressed; a dot stands for five or fewer. Press these points well, and sew and quilt over them slowly."

	testNote = "Measure both squares before you cut. If they are not right, print again without scaling."

	tileNote = "Cut the sheets out along the match lines and tape them together, letter to letter."

	proofHolds = "This pattern was sewn once, step by step, by a program that knows the sizes printed here and nothing of how they were computed. " +
		"It counted the pieces out of the strips, carried out every step in order, and compared what came out with the drawing of the quilt."
)

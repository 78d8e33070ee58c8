package shaft

import "shaftbook/kernel/source"

// The codes of the errors that New reports. Each comment gives the rule and a
// shaft that breaks it.
const (
	// CodeEmpty: a shaft has at least one piece and at most MaxPieces.
	//	hold at 0 mm
	CodeEmpty source.Code = "shaft-pieces"

	// CodeNumber: every number of a shaft is finite.
	//	torque 1/0·1 N·m at 0 mm
	CodeNumber source.Code = "shaft-number"

	// CodeLength: every piece has a length above zero.
	//	solid 36 mm for 0 mm
	CodeLength source.Code = "shaft-length"

	// CodeModulus: every piece and every core has a shear modulus above zero.
	//	solid 36 mm for 200 mm        # with no G above it
	CodeModulus source.Code = "shaft-modulus"

	// CodeDiameter: the outside diameter is above zero everywhere.
	//	solid 36 mm to 0 mm for 200 mm
	CodeDiameter source.Code = "shaft-diameter"

	// CodeBore: a bore is above or at zero, and inside the outside diameter everywhere.
	//	hollow 30 mm bore 30 mm for 200 mm
	CodeBore source.Code = "shaft-bore"

	// CodeCore: a core lies inside a solid round piece, thinner than it everywhere.
	//	solid 30 mm for 200 mm
	//	core 32 mm G 26 GPa
	CodeCore source.Code = "shaft-core"

	// CodeProfile: a diameter that is a function must be finite, above zero
	// and smooth enough to be added up.
	//	profile 10 mm·(x/(1 m)) for 1 m
	CodeProfile source.Code = "shaft-profile"

	// CodeStations: measured stations run from the start to the end of their
	// piece, in order, at least two of them.
	//	measured at 0 mm 30 mm
	CodeStations source.Code = "shaft-stations"

	// CodeSection: a section that is not round has a torsion constant above zero.
	CodeSection source.Code = "shaft-section"

	// CodeOffEnd: loads and holds act on the shaft.
	//	torque 420 N·m at 1400 mm     # on a shaft of 1300 mm
	CodeOffEnd source.Code = "shaft-off-end"

	// CodeSpread: a spread torque ends beyond where it begins.
	//	torque 150 N·m/m from 800 mm to 200 mm
	CodeDistributedTorque source.Code = "shaft-spread"

	// CodeHold: each section is held at most once, with a stiffness above zero.
	//	hold at 0 mm
	//	hold at 0 mm
	CodeSupport source.Code = "shaft-hold"

	// CodeBalance: without a hold the torques add up to nothing.
	//	torque 420 N·m at 1300 mm     # and nothing else
	CodeBalance source.Code = "shaft-balance"

	// CodeLimit: an allowable value is above zero.
	CodeLimit source.Code = "shaft-limit"

	// CodeYield: where a shaft yields, it has at most one support and no gears, and
	// the pieces that yield are round and of one material.
	//	yields at 150 MPa
	//	hold at 0 mm
	//	hold at 800 mm
	CodeYield source.Code = "shaft-yield"

	// CodePlastic: the internal torque stays below that under which all of a section
	// yields.
	//	yields at 150 MPa
	//	solid 36 mm for 800 mm
	//	torque 2000 N·m at 800 mm
	CodePlastic source.Code = "shaft-plastic"

	// CodeTeeth: the gears of a pair sit on their shafts and have teeth, and the
	// pairs of a train join its shafts one after another.
	CodeTeeth source.Code = "shaft-teeth"
)

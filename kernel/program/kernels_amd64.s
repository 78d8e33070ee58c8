//go:build amd64 && !purego

#include "textflag.h"

// Loops over blocks of float64, eight lanes a turn in two YMM registers. There
// is no fused multiply-add here on purpose: each operation rounds by itself,
// as the loops in plain Go do. A stride of 0 reads the same eight numbers
// again.

// 0, 1, …, 7 for lane numbers, and 8 for the step to the next turn.
DATA lanes<>+0(SB)/8, $0.0
DATA lanes<>+8(SB)/8, $1.0
DATA lanes<>+16(SB)/8, $2.0
DATA lanes<>+24(SB)/8, $3.0
DATA lanes<>+32(SB)/8, $4.0
DATA lanes<>+40(SB)/8, $5.0
DATA lanes<>+48(SB)/8, $6.0
DATA lanes<>+56(SB)/8, $7.0
DATA lanes<>+64(SB)/8, $8.0
GLOBL lanes<>(SB), RODATA|NOPTR, $72

// BINARY is the loop of an operation OP with DI = dst, SI = a, DX = b, CX = n,
// R8 and R9 the strides.
#define BINARY(OP) \
loop: \
	VMOVUPD (SI), Y0;        \
	VMOVUPD 32(SI), Y1;      \
	OP      (DX), Y0, Y0;    \
	OP      32(DX), Y1, Y1;  \
	VMOVUPD Y0, (DI);        \
	VMOVUPD Y1, 32(DI);      \
	ADDQ    R8, SI;          \
	ADDQ    R9, DX;          \
	ADDQ    $64, DI;         \
	SUBQ    $8, CX;          \
	JNZ     loop;            \
	VZEROUPPER;              \
	RET

// func addAVX2(dst, a, b *float64, n, sa, sb int)
TEXT ·addAVX2(SB), NOSPLIT, $0-48
	MOVQ dst+0(FP), DI
	MOVQ a+8(FP), SI
	MOVQ b+16(FP), DX
	MOVQ n+24(FP), CX
	MOVQ sa+32(FP), R8
	MOVQ sb+40(FP), R9
	BINARY(VADDPD)

// func subAVX2(dst, a, b *float64, n, sa, sb int)
TEXT ·subAVX2(SB), NOSPLIT, $0-48
	MOVQ dst+0(FP), DI
	MOVQ a+8(FP), SI
	MOVQ b+16(FP), DX
	MOVQ n+24(FP), CX
	MOVQ sa+32(FP), R8
	MOVQ sb+40(FP), R9
	BINARY(VSUBPD)

// func mulAVX2(dst, a, b *float64, n, sa, sb int)
TEXT ·mulAVX2(SB), NOSPLIT, $0-48
	MOVQ dst+0(FP), DI
	MOVQ a+8(FP), SI
	MOVQ b+16(FP), DX
	MOVQ n+24(FP), CX
	MOVQ sa+32(FP), R8
	MOVQ sb+40(FP), R9
	BINARY(VMULPD)

// Doubt about divisors gathers in Y15: v − v is +0, all bits clear, exactly for
// a finite v.

// func divAVX2(dst, a, b *float64, n, sa, sb int) (doubt int)
TEXT ·divAVX2(SB), NOSPLIT, $0-56
	MOVQ   dst+0(FP), DI
	MOVQ   a+8(FP), SI
	MOVQ   b+16(FP), DX
	MOVQ   n+24(FP), CX
	MOVQ   sa+32(FP), R8
	MOVQ   sb+40(FP), R9
	VXORPD Y15, Y15, Y15

loop:
	VMOVUPD (SI), Y0
	VMOVUPD 32(SI), Y1
	VMOVUPD (DX), Y2
	VMOVUPD 32(DX), Y3
	VDIVPD  Y2, Y0, Y0
	VDIVPD  Y3, Y1, Y1
	VSUBPD  Y2, Y2, Y2
	VSUBPD  Y3, Y3, Y3
	VORPD   Y2, Y15, Y15
	VORPD   Y3, Y15, Y15
	VMOVUPD Y0, (DI)
	VMOVUPD Y1, 32(DI)
	ADDQ    R8, SI
	ADDQ    R9, DX
	ADDQ    $64, DI
	SUBQ    $8, CX
	JNZ     loop
	XORQ    AX, AX
	VPTEST  Y15, Y15
	SETNE   AX
	MOVQ    AX, doubt+48(FP)
	VZEROUPPER
	RET

// func sqrtAVX2(dst, a *float64, n, sa int)
TEXT ·sqrtAVX2(SB), NOSPLIT, $0-32
	MOVQ dst+0(FP), DI
	MOVQ a+8(FP), SI
	MOVQ n+16(FP), CX
	MOVQ sa+24(FP), R8

loop:
	VSQRTPD (SI), Y0
	VSQRTPD 32(SI), Y1
	VMOVUPD Y0, (DI)
	VMOVUPD Y1, 32(DI)
	ADDQ    R8, SI
	ADDQ    $64, DI
	SUBQ    $8, CX
	JNZ     loop
	VZEROUPPER
	RET

// func mulAddAVX2(dst, a *float64, n int, m, c float64)
TEXT ·mulAddAVX2(SB), NOSPLIT, $0-40
	MOVQ         dst+0(FP), DI
	MOVQ         a+8(FP), SI
	MOVQ         n+16(FP), CX
	VBROADCASTSD m+24(FP), Y4
	VBROADCASTSD c+32(FP), Y5

loop:
	VMULPD  (SI), Y4, Y0
	VMULPD  32(SI), Y4, Y1
	VADDPD  Y5, Y0, Y0
	VADDPD  Y5, Y1, Y1
	VMOVUPD Y0, (DI)
	VMOVUPD Y1, 32(DI)
	ADDQ    $64, SI
	ADDQ    $64, DI
	SUBQ    $8, CX
	JNZ     loop
	VZEROUPPER
	RET

// func quarticAVX2(dst, a *float64, n int, m float64)
TEXT ·quarticAVX2(SB), NOSPLIT, $0-32
	MOVQ         dst+0(FP), DI
	MOVQ         a+8(FP), SI
	MOVQ         n+16(FP), CX
	VBROADCASTSD m+24(FP), Y4

loop:
	VMOVUPD (SI), Y0
	VMOVUPD 32(SI), Y1
	VMULPD  Y0, Y0, Y0
	VMULPD  Y1, Y1, Y1
	VMULPD  Y0, Y0, Y0
	VMULPD  Y1, Y1, Y1
	VMULPD  Y0, Y4, Y0
	VMULPD  Y1, Y4, Y1
	VMOVUPD Y0, (DI)
	VMOVUPD Y1, 32(DI)
	ADDQ    $64, SI
	ADDQ    $64, DI
	SUBQ    $8, CX
	JNZ     loop
	VZEROUPPER
	RET

// func recipAVX2(dst, a *float64, n int, m, c float64) (doubt int)
TEXT ·recipAVX2(SB), NOSPLIT, $0-48
	MOVQ         dst+0(FP), DI
	MOVQ         a+8(FP), SI
	MOVQ         n+16(FP), CX
	VBROADCASTSD m+24(FP), Y4
	VBROADCASTSD c+32(FP), Y5
	VXORPD       Y15, Y15, Y15

loop:
	VMULPD  (SI), Y4, Y2
	VMULPD  32(SI), Y4, Y3
	VDIVPD  Y2, Y5, Y0
	VDIVPD  Y3, Y5, Y1
	VSUBPD  Y2, Y2, Y2
	VSUBPD  Y3, Y3, Y3
	VORPD   Y2, Y15, Y15
	VORPD   Y3, Y15, Y15
	VMOVUPD Y0, (DI)
	VMOVUPD Y1, 32(DI)
	ADDQ    $64, SI
	ADDQ    $64, DI
	SUBQ    $8, CX
	JNZ     loop
	XORQ    AX, AX
	VPTEST  Y15, Y15
	SETNE   AX
	MOVQ    AX, doubt+40(FP)
	VZEROUPPER
	RET

// func scaledAVX2(dst *float64, n int, start, m float64)
TEXT ·scaledAVX2(SB), NOSPLIT, $0-32
	MOVQ         dst+0(FP), DI
	MOVQ         n+8(FP), CX
	VBROADCASTSD start+16(FP), Y6
	VBROADCASTSD m+24(FP), Y4
	VBROADCASTSD lanes<>+64(SB), Y5
	VMOVUPD      lanes<>+0(SB), Y2
	VMOVUPD      lanes<>+32(SB), Y3

loop:
	VADDPD  Y2, Y6, Y0
	VADDPD  Y3, Y6, Y1
	VMULPD  Y0, Y4, Y0
	VMULPD  Y1, Y4, Y1
	VMOVUPD Y0, (DI)
	VMOVUPD Y1, 32(DI)
	VADDPD  Y2, Y5, Y2
	VADDPD  Y3, Y5, Y3
	ADDQ    $64, DI
	SUBQ    $8, CX
	JNZ     loop
	VZEROUPPER
	RET

// func linearAVX2(dst *float64, n int, start, m, k, c float64)
TEXT ·linearAVX2(SB), NOSPLIT, $0-48
	MOVQ         dst+0(FP), DI
	MOVQ         n+8(FP), CX
	VBROADCASTSD start+16(FP), Y6
	VBROADCASTSD m+24(FP), Y4
	VBROADCASTSD k+32(FP), Y7
	VBROADCASTSD c+40(FP), Y8
	VBROADCASTSD lanes<>+64(SB), Y5
	VMOVUPD      lanes<>+0(SB), Y2
	VMOVUPD      lanes<>+32(SB), Y3

loop:
	VADDPD  Y2, Y6, Y0
	VADDPD  Y3, Y6, Y1
	VMULPD  Y0, Y4, Y0
	VMULPD  Y1, Y4, Y1
	VMULPD  Y0, Y7, Y0
	VMULPD  Y1, Y7, Y1
	VADDPD  Y0, Y8, Y0
	VADDPD  Y1, Y8, Y1
	VMOVUPD Y0, (DI)
	VMOVUPD Y1, 32(DI)
	VADDPD  Y2, Y5, Y2
	VADDPD  Y3, Y5, Y3
	ADDQ    $64, DI
	SUBQ    $8, CX
	JNZ     loop
	VZEROUPPER
	RET

// func sumAVX2(acc, x *float64, n int)
TEXT ·sumAVX2(SB), NOSPLIT, $0-24
	MOVQ    acc+0(FP), DI
	MOVQ    x+8(FP), SI
	MOVQ    n+16(FP), CX
	VMOVUPD (DI), Y0
	VMOVUPD 32(DI), Y1

loop:
	VADDPD  (SI), Y0, Y0
	VADDPD  32(SI), Y1, Y1
	ADDQ    $64, SI
	SUBQ    $8, CX
	JNZ     loop
	VMOVUPD Y0, (DI)
	VMOVUPD Y1, 32(DI)
	VZEROUPPER
	RET

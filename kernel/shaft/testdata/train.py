#!/usr/bin/env python3
"""Prints the values in TestTrainReference. Run: python3 train.py   (mpmath 1.3.0)

Four uniform shafts. A is held at 0 and meshes with B, which is held nowhere and
meshes with C and D; C has an elastic hold and D a rigid one. The unknowns are the
rotations of the nodes and the forces of the meshes (the displacement method with
multipliers), worked out apart from the Go code, which takes the torques of the
meshes as unknowns.
"""
from mpmath import mp, mpf, matrix, lu_solve, pi

mp.dps = 40
G = mpf(79) * 10**9
# name: diameter, nodes along it, rigid holds, elastic holds, torques
shafts = {
    "A": ("0.044", ["0", "0.5712", "0.8"], ["0"], {}, {"0.5712": "-202"}),
    "B": ("0.030", ["0", "0.2", "0.35", "0.6"], [], {}, {"0.2": "60"}),
    "C": ("0.025", ["0", "0.1", "0.3", "0.5"], [], {"0.5": "9000"}, {"0.3": "174.3"}),
    "D": ("0.036", ["0", "0.9"], ["0.9"], {}, {}),
}
meshes = [(("A", "0.8", 28), ("B", "0", 18)), (("B", "0.35", 40), ("C", "0.1", 25)), (("B", "0.6", 30), ("D", "0", 45))]
nodes = [(s, x) for s, v in shafts.items() for x in v[1]]
at = {n: i for i, n in enumerate(nodes)}


def solve(loads):
    rigid = [(s, x) for s, v in shafts.items() for x in v[2]]
    n, m = len(nodes), len(meshes) + len(rigid)
    K, f = matrix(n + m, n + m), matrix(n + m, 1)
    for s, (d, xs, _, elastic, _) in shafts.items():
        gj = G * pi / 32 * mpf(d) ** 4
        for a, b in zip(xs, xs[1:]):
            k, i, j = gj / (mpf(b) - mpf(a)), at[s, a], at[s, b]
            K[i, i] += k; K[j, j] += k; K[i, j] -= k; K[j, i] -= k
        for x, k in elastic.items():
            K[at[s, x], at[s, x]] += mpf(k)
    for place, t in loads.items():
        f[at[place]] += mpf(t)
    for c, ((s, x, z), (r, y, w)) in enumerate(meshes):
        for i, v in ((at[s, x], z), (at[r, y], w)):
            K[n + c, i] = v; K[i, n + c] = v
    for c, place in enumerate(rigid):
        K[n + len(meshes) + c, at[place]] = 1; K[at[place], n + len(meshes) + c] = 1
    return lu_solve(K, f)


u = solve({(s, x): t for s, v in shafts.items() for x, t in v[4].items()})
for s, v in shafts.items():
    print(s, "twist", mp.nstr(u[at[s, v[1][-1]]] - u[at[s, v[1][0]]], 22), "rotation at the start", mp.nstr(u[at[s, v[1][0]]], 22))
print("torque of C on B", mp.nstr(-40 * u[len(nodes) + 1], 22))
probe = solve({("B", "0.2"): 1})
print("stiffness of B at 0.2 m", mp.nstr(1 / probe[at["B", "0.2"]], 22))

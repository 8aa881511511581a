"""Solves the problem written by examples/whole_export.rs with quantecon.

    cargo run --release --example whole_export -- 2 > problem.txt
    python tests/peers/whole_peers.py problem.txt

Needs: pip install quantecon (in an environment outside the repository).

quantecon's DiscreteDP maximises and wants a discount below 1: costs are negated
and the discount is 1 - 1e-9, which moves values of a few strokes by about 1e-8.
Their time starts with the transitions as a sparse matrix, ours with the kernel in
memory. Where the choices differ, ours is priced by their values: a tie
costs nothing.
"""

import sys
import time

import numpy as np
from quantecon.markov import DiscreteDP
from scipy.sparse import csr_matrix

BETA = 1 - 1e-9
RUNS = 3


def main(path):
    values, choices, pairs, seconds, built = {}, {}, [], None, None
    for line in open(path):
        word, *rest = line.split()
        if word == "seconds":
            seconds, built = map(float, rest)
        elif word == "value":
            values[int(rest[0])] = float(rest[1])
            choices[int(rest[0])] = int(rest[2])
        else:
            count = int(rest[3])
            to = [int(x) for x in rest[4 : 4 + 2 * count : 2]]
            share = [float(x) for x in rest[5 : 5 + 2 * count : 2]]
            pairs.append((int(rest[0]), int(rest[1]), float(rest[2]), to, share))
    pairs.append((0, 0, 0.0, [0], [1.0]))
    pairs.sort(key=lambda pair: pair[:2])
    states = 1 + max(pair[0] for pair in pairs)
    s, names, reward, rows, columns, data = [], [], [], [], [], []
    actions = []
    for row, (state, name, cost, to, share) in enumerate(pairs):
        actions.append(0 if not s or state != s[-1] else actions[-1] + 1)
        s.append(state)
        names.append(name)
        reward.append(-cost)
        left = 1.0 - sum(share)
        for t, p in zip(to, share):
            rows.append(row), columns.append(t), data.append(p)
        if left > 1e-9:
            rows.append(row), columns.append(0), data.append(left)
    s, names, reward = np.array(s), np.array(names), np.array(reward)
    q = csr_matrix((data, (rows, columns)), shape=(len(pairs), states))
    print(f"{states} states, {len(pairs)} state-action pairs, {q.nnz} transitions")
    took = np.inf
    for _ in range(RUNS):
        problem = DiscreteDP(reward, q, BETA, s, np.array(actions))
        begun = time.perf_counter()
        # Modified policy iteration does not end in a minute with this discount.
        result = problem.solve(method="policy_iteration")
        took = min(took, time.perf_counter() - begun)
    off = max(abs(-result.v[k] - v) for k, v in values.items())
    worth = reward + BETA * (q @ result.v)
    first = np.searchsorted(s, np.arange(states))
    last = np.searchsorted(s, np.arange(states), side="right")
    differ, dearest = 0, 0.0
    for state, choice in choices.items():
        row = first[state] + result.sigma[state]
        if names[row] != choice:
            differ += 1
            ours = [r for r in range(first[state], last[state]) if names[r] == choice]
            dearest = max(dearest, worth[row] - max(worth[r] for r in ours))
    print(
        f"quantecon {took:.3f} s ({result.num_iter} iterations), ours {seconds:.4f} s: ratio"
        f" {took / seconds:.1f}; with writing it out ({built:.3f} s) {took / (seconds + built):.2f}"
    )
    print(
        f"largest difference of values {off:.2e} strokes over {len(values)} states; choices"
        f" differ in {differ}, of which the dearest by {dearest:.2e} strokes"
    )
    sys.exit(0 if off < 1e-4 and dearest < 1e-4 else 1)


main(sys.argv[1])

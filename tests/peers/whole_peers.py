"""Solves the problem written by examples/whole_export.rs with quantecon.

    cargo run --release --example whole_export -- 20 > problem.txt
    python tests/peers/whole_peers.py problem.txt

Needs: pip install quantecon (in an environment outside the repository).

quantecon's DiscreteDP maximises and wants a discount below 1: costs are negated
and the discount is 1 - 1e-9, which moves values of a few strokes by about 1e-8.

Their time starts with the transitions ready; ours includes finding them anew in
every sweep. Cells of 20 m: values agree to 5e-7 strokes; theirs 0.09 s, ours 2.5 s
on a busy machine.
"""

import sys
import time

import numpy as np
from quantecon.markov import DiscreteDP
from scipy.sparse import csr_matrix

BETA = 1 - 1e-9


def main(path):
    values, pairs, seconds = {}, [], None
    for line in open(path):
        word, *rest = line.split()
        if word == "seconds":
            seconds = float(rest[0])
        elif word == "value":
            values[int(rest[0])] = float(rest[1])
        else:
            count = int(rest[2])
            to = [int(x) for x in rest[3 : 3 + 2 * count : 2]]
            share = [float(x) for x in rest[4 : 4 + 2 * count : 2]]
            pairs.append((int(rest[0]), float(rest[1]), to, share))
    pairs.append((0, 0.0, [0], [1.0]))
    pairs.sort(key=lambda pair: pair[0])
    states = 1 + max(pair[0] for pair in pairs)
    s, reward, rows, columns, data = [], [], [], [], []
    actions, last = [], None
    for row, (state, cost, to, share) in enumerate(pairs):
        actions.append(0 if state != last else actions[-1] + 1)
        last = state
        s.append(state)
        reward.append(-cost)
        left = 1.0 - sum(share)
        for t, p in zip(to, share):
            rows.append(row), columns.append(t), data.append(p)
        if left > 1e-9:
            rows.append(row), columns.append(0), data.append(left)
    q = csr_matrix((data, (rows, columns)), shape=(len(pairs), states))
    problem = DiscreteDP(np.array(reward), q, BETA, np.array(s), np.array(actions))
    print(f"{states} states, {len(pairs)} state-action pairs, {q.nnz} transitions")
    worst = None
    # Modified policy iteration does not end in a minute with this discount.
    for method, options in (("policy_iteration", {}),):
        begun = time.perf_counter()
        result = problem.solve(method=method, **options)
        took = time.perf_counter() - begun
        theirs = -result.v
        off = max(abs(theirs[k] - v) for k, v in values.items() if np.isfinite(v))
        print(
            f"{method}: {took:.3f} s, {result.num_iter} iterations; ours {seconds:.3f} s,"
            f" ratio {took / seconds:.2f}; largest difference {off:.2e} strokes"
            f" over {len(values)} cells"
        )
        worst = off if worst is None else min(worst, off)
    sys.exit(0 if worst < 1e-4 else 1)


main(sys.argv[1])

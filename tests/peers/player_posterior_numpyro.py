"""The posterior of one club by MCMC, for tests/data/player_mcmc.json.

The same model as src/player/posterior.rs: rows multivariate t around an unknown
mean with an unknown scale matrix, normal-inverse-Wishart prior, and the tails'
degrees of freedom over a short grid with prior odds, summed out exactly.
Beside each mean and standard deviation stands its Monte Carlo error: of the mean
from the effective sample size, of the standard deviation from that of the squares.
Needs numpyro (run with 0.22.0, jax 0.10.2, NumPy); takes some minutes:

    python tests/peers/player_posterior_numpyro.py > tests/data/player_mcmc.json
"""
import json

import jax
import jax.numpy as jnp
import numpy as np
import numpyro
import numpyro.distributions as dist
from jax.scipy.special import gammaln, logsumexp
from numpyro.diagnostics import effective_sample_size, summary
from numpyro.infer import MCMC, NUTS

jax.config.update("jax_enable_x64", True)
N = 3
TAILS = jnp.array([3.5, 5.0, 8.0, 14.0, 40.0])
ODDS = jnp.array([0.1, 0.25, 0.35, 0.2, 0.1])
MEAN0 = np.array([64.0, 1.0, -3.0])
SHOTS0 = 0.25
COV0 = np.array([[3.0, 0.0, 0.0], [0.0, 9.0, 4.0], [0.0, 4.0, 36.0]])
MARGINAL = 10.0

rng = np.random.default_rng(7)
stretch = np.sqrt(6.0 / rng.chisquare(6.0, size=(25, 1)))
truth = np.array([[2.0, 0.3, -0.5], [0.3, 5.0, 3.0], [-0.5, 3.0, 25.0]])
ROWS = (np.array([65.0, 2.0, -6.0])
        + stretch * rng.multivariate_normal(np.zeros(N), truth, size=25)).round(3)


def model(rows):
    psi = COV0 * (MARGINAL - 2.0)
    nu = MARGINAL + N - 1.0
    # Scale ~ inverse Wishart(nu, psi): its inverse is Wishart(nu, psi^-1).
    precision = numpyro.sample("precision", dist.Wishart(nu, scale_matrix=jnp.linalg.inv(psi)))
    scale = jnp.linalg.inv(precision)
    lower = jnp.linalg.cholesky(0.5 * (scale + scale.T))
    z = numpyro.sample("z", dist.Normal(jnp.zeros(N), 1.0).to_event(1))
    mean = numpyro.deterministic("mean", MEAN0 + lower @ z / jnp.sqrt(SHOTS0))
    numpyro.deterministic("log_sd", 0.5 * jnp.log(jnp.diag(scale)))
    off = jax.scipy.linalg.solve_triangular(lower, (rows - mean).T, lower=True)
    distance = (off**2).sum(0)[None, :]
    nu_t = TAILS[:, None]
    log_t = (gammaln((nu_t + N) / 2) - gammaln(nu_t / 2) - N / 2 * jnp.log(nu_t * jnp.pi)
             - jnp.log(jnp.diag(lower)).sum() - (nu_t + N) / 2 * jnp.log1p(distance / nu_t))
    by_tail = jnp.log(ODDS) + log_t.sum(1)
    numpyro.deterministic("tail_odds", jnp.exp(by_tail - logsumexp(by_tail)))
    numpyro.factor("rows", logsumexp(by_tail))


mcmc = MCMC(NUTS(model), num_warmup=1000, num_samples=20000, num_chains=2,
            chain_method="sequential", progress_bar=False)
mcmc.run(jax.random.PRNGKey(3), ROWS)
samples = mcmc.get_samples(group_by_chain=True)
stats = summary(samples)
out = {"rows": ROWS.tolist(), "prior_mean": MEAN0.tolist(), "prior_mean_shots": SHOTS0,
       "prior_covariance": COV0.tolist(), "marginal_dof": MARGINAL}
for name in ["mean", "log_sd", "tail_odds"]:
    s = stats[name]
    draws = np.asarray(samples[name])
    squares = (draws - draws.mean((0, 1))) ** 2
    of_square = squares.std((0, 1)) / np.sqrt(effective_sample_size(squares))
    out[name] = {"mean": s["mean"].tolist(), "sd": s["std"].tolist(),
                 "mean_error": (s["std"] / np.sqrt(s["n_eff"])).tolist(),
                 "sd_error": (of_square / (2 * s["std"])).tolist(),
                 "effective": s["n_eff"].tolist(), "r_hat": s["r_hat"].tolist()}
print(json.dumps(out, indent=1))

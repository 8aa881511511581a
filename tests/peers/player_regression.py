"""Face and strike apart by statsmodels, for tests/data/face_regression.json.

The conjugate regression of src/player/face.rs as weighted least squares on the
rows and, as three rows more, the belief about each coefficient: statsmodels gives
the coefficients, their covariance and the sum of squares; the belief about the
rest (3 degrees, known as from 4) is added by hand. Intervals by scipy.stats.t.

    python tests/peers/player_regression.py > tests/data/face_regression.json
"""
import json

import numpy as np
import scipy
import statsmodels
import statsmodels.api as sm
from scipy.stats import t

rng = np.random.default_rng(12)
n = 14
path = (2 + rng.normal(0, 1.2, n)).round(2)
face = (path - 1.5 + rng.normal(0, 1.0, n)).round(2)
strike = rng.normal(2, 8, n).round(1)
axis = (4.1 * (face - path) - 0.45 * strike + rng.normal(0, 1.0, n)).round(2)

rest, rest_dof = 3.0, 4.0
believed = np.array([0.0, 4.4, -0.5])
doubt = np.array([4.0, 2.2, 0.4])
x = np.vstack([np.column_stack([np.ones(n), face - path, strike]), np.eye(3)])
y = np.concatenate([axis, believed])
weights = np.concatenate([np.ones(n), (rest / doubt) ** 2])
fit = sm.WLS(y, x, weights=weights).fit()
dof = rest_dof + n
rest_deg = np.sqrt((rest_dof * rest**2 + fit.ssr) / dof)
half = t.ppf(0.95, dof) * rest_deg * np.sqrt(np.diag(fit.normalized_cov_params))
print(json.dumps({
    "statsmodels": statsmodels.__version__, "scipy": scipy.__version__,
    "path_deg": path.tolist(), "face_deg": face.tolist(), "strike_mm": strike.tolist(),
    "axis_deg": axis.tolist(), "coefficient": fit.params.tolist(), "half_width_90": half.tolist(),
}, indent=1))

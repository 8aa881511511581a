//! The air of the day: density, viscosity, and wind that varies with height.

use std::str::FromStr;

use super::AimWind;
use crate::sample::normal_quantile;
use crate::units::parse::{self, Misread, WindText};

/// Standard gravity, m/s² (3rd CGPM, 1901).
pub const GRAVITY_M_S2: f64 = 9.806_65;
/// Below this height above the tee the wind is taken to be what it is there, m:
/// the log law has no meaning among the blades of grass.
pub const LOWEST_WIND_M: f64 = 0.5;
/// Height at which wind speeds are given, m.
const WIND_HEIGHT_M: f64 = 10.0;
const ZERO_CELSIUS_K: f64 = 273.15;
/// Spread of the wind across its mean direction, as a share of the spread
/// along it: 1.92 / 2.39 in flat country (Panofsky & Dutton 1984, memory).
pub const ACROSS_SHARE: f64 = 0.8;

/// Air as a ball meets it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Air {
    /// Density, kg/m³.
    pub density_kg_m3: f64,
    /// Dynamic viscosity, Pa s.
    pub viscosity_pa_s: f64,
    /// Roughness length of the ground for the wind's log law, m: 0.03 open
    /// grass, 0.01 mown grass. Zero means a wind that is the same at every height.
    pub roughness_m: f64,
}

/// Temperature, pressure and humidity.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Weather {
    /// Air temperature, °C.
    pub temperature_c: f64,
    /// Pressure at the place (not reduced to sea level), Pa.
    pub pressure_pa: f64,
    /// Relative humidity, 0 to 1.
    pub humidity: f64,
}

/// Temperature of a day of which nothing is known, °C: a mild one.
pub const USUAL_TEMPERATURE_C: f64 = 20.0;
/// Relative humidity of such a day.
pub const USUAL_HUMIDITY: f64 = 0.5;

impl Weather {
    /// The air where nothing is known of the day: a mild one at sea level.
    #[must_use]
    pub fn usual() -> Self {
        Self {
            temperature_c: USUAL_TEMPERATURE_C,
            pressure_pa: Self::at_altitude(0.0).pressure_pa,
            humidity: USUAL_HUMIDITY,
        }
    }

    /// The standard atmosphere at a geometric altitude, m: dry air (ISO 2533:1975,
    /// lowest layer; meant for −2 to 11 km).
    #[must_use]
    pub fn at_altitude(altitude_m: f64) -> Self {
        const EARTH_RADIUS_M: f64 = 6_356_766.0;
        const LAPSE_K_M: f64 = 0.0065;
        const SEA_LEVEL_K: f64 = 288.15;
        let geopotential_m = EARTH_RADIUS_M * altitude_m / (EARTH_RADIUS_M + altitude_m);
        let kelvin = SEA_LEVEL_K - LAPSE_K_M * geopotential_m;
        let exponent = GRAVITY_M_S2 / (DRY_AIR_J_KG_K * LAPSE_K_M);
        Self {
            temperature_c: kelvin - ZERO_CELSIUS_K,
            pressure_pa: 101_325.0 * (kelvin / SEA_LEVEL_K).powf(exponent),
            humidity: 0.0,
        }
    }

    /// Density of this air taken as dry and ideal, as ISO 2533 does, kg/m³. The
    /// full equation in [`Air::of`] gives 0.04 % more for dry air at sea level.
    #[must_use]
    pub fn ideal_density_kg_m3(&self) -> f64 {
        self.pressure_pa / (DRY_AIR_J_KG_K * (self.temperature_c + ZERO_CELSIUS_K))
    }

    /// Density of moist air, kg/m³, with 400 ppm of carbon dioxide.
    ///
    /// # References
    /// Picard, Davis, Gläser & Fujii, *Revised formula for the density of moist
    /// air (CIPM-2007)*, Metrologia 45 (2008) 149–155. Meant for 15–27 °C and
    /// 600–1100 hPa, where its uncertainty is 2.2e-5.
    #[must_use]
    pub fn density_kg_m3(&self) -> f64 {
        let (t, p) = (self.temperature_c, self.pressure_pa);
        let kelvin = t + ZERO_CELSIUS_K;
        let saturation_pa = (1.237_884_7e-5 * kelvin * kelvin - 1.912_131_6e-2 * kelvin
            + 33.937_110_47
            - 6.343_164_5e3 / kelvin)
            .exp();
        let enhancement = 1.000_62 + 3.14e-8 * p + 5.6e-7 * t * t;
        let vapour = self.humidity * enhancement * saturation_pa / p;
        let compressibility = 1.0
            - p / kelvin
                * (1.581_23e-6 - 2.933_1e-8 * t
                    + 1.104_3e-10 * t * t
                    + (5.707e-6 - 2.051e-8 * t) * vapour
                    + (1.989_8e-4 - 2.376e-6 * t) * vapour * vapour)
            + (p / kelvin).powi(2) * (1.83e-11 - 0.765e-8 * vapour * vapour);
        const DRY_KG_MOL: f64 = 28.965_46e-3;
        const WATER_KG_MOL: f64 = 18.015_28e-3;
        const GAS_J_MOL_K: f64 = 8.314_472;
        p * DRY_KG_MOL / (compressibility * GAS_J_MOL_K * kelvin)
            * (1.0 - vapour * (1.0 - WATER_KG_MOL / DRY_KG_MOL))
    }

    /// Dynamic viscosity by Sutherland's formula with the constants of
    /// ISO 2533, Pa s; it hardly depends on pressure and humidity.
    #[must_use]
    pub fn viscosity_pa_s(&self) -> f64 {
        let kelvin = self.temperature_c + ZERO_CELSIUS_K;
        1.458e-6 * kelvin.powf(1.5) / (kelvin + 110.4)
    }
}

impl Default for Weather {
    /// The standard atmosphere at sea level.
    fn default() -> Self {
        Self::at_altitude(0.0)
    }
}

/// Specific gas constant of dry air (ISO 2533), J/(kg K).
const DRY_AIR_J_KG_K: f64 = 287.052_87;

impl Air {
    /// The air of this weather over ground of this roughness length, m.
    #[must_use]
    pub fn of(weather: &Weather, roughness_m: f64) -> Self {
        Self {
            density_kg_m3: weather.density_kg_m3(),
            viscosity_pa_s: weather.viscosity_pa_s(),
            roughness_m,
        }
    }

    /// Wind speed at a height above the ground as a share of that at 10 m, by
    /// the neutral log law `ln(z/z₀) / ln(10/z₀)`, constant below
    /// [`LOWEST_WIND_M`].
    #[must_use]
    pub fn wind_share(&self, height_m: f64) -> f64 {
        let [constant, slope] = self.wind_law();
        (constant + slope * height_m.max(LOWEST_WIND_M).ln()).max(0.0)
    }

    /// The log law as `[a, b]` of `a + b ln z`.
    pub(super) fn wind_law(&self) -> [f64; 2] {
        if self.roughness_m > 0.0 && self.roughness_m < LOWEST_WIND_M {
            let slope = 1.0 / (WIND_HEIGHT_M / self.roughness_m).ln();
            [-slope * self.roughness_m.ln(), slope]
        } else {
            [1.0, 0.0]
        }
    }
}

/// The wind of the day, 10 m above open ground.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Wind {
    /// Mean speed at 10 m, m/s.
    pub speed_m_s: f64,
    /// True bearing it blows from, degrees.
    pub from_deg: f64,
    /// Gusts: standard deviation of the speed as a share of the mean.
    pub gust_share: f64,
}

impl FromStr for Wind {
    type Err = Misread;

    /// As `12mph@240` or `5m/s@SW`: speed and where it blows from.
    fn from_str(text: &str) -> Result<Self, Misread> {
        let WindText {
            speed_m_s,
            from_deg,
        } = parse::wind(text)?;
        Ok(Self::blowing(speed_m_s, from_deg))
    }
}

/// Roughness length of open grass, m (Davenport–Wieringa class 3).
pub const ROUGHNESS_M: f64 = 0.03;
/// Standard deviation of the wind a ball meets, as a share of the mean. The turbulence intensity
/// at 10 m is 1/ln(10/0.03) = 0.17; a flight of six seconds evens some of it out (practice).
const GUST_SHARE: f64 = 0.15;

impl Wind {
    /// A wind with the usual gusts, by its speed at 10 m, m/s, and the true bearing it blows from,
    /// degrees; calm at no speed.
    #[must_use]
    pub fn blowing(speed_m_s: f64, from_deg: f64) -> Self {
        Self {
            speed_m_s,
            from_deg,
            gust_share: GUST_SHARE,
        }
    }

    /// What one ball meets, seen along an aim of this true bearing.
    ///
    /// `gust` holds two uniforms in (0, 1): along and across the wind; 0.5 is
    /// the mean. A ball keeps its gust for the whole flight.
    #[must_use]
    pub fn in_aim(&self, bearing_deg: f64, gust: [f64; 2]) -> AimWind {
        let deviation = self.speed_m_s * self.gust_share;
        let along = self.speed_m_s + deviation * normal_quantile(gust[0]);
        let across = ACROSS_SHARE * deviation * normal_quantile(gust[1]);
        // Where it blows to, clockwise from the aim.
        let to = (self.from_deg + 180.0 - bearing_deg).to_radians();
        let (sin, cos) = to.sin_cos();
        AimWind {
            right_m_s: along * sin + across * cos,
            forward_m_s: along * cos - across * sin,
        }
    }
}

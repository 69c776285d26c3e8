//! What an open beaker loses while it is kept hot.

use crate::exact::Exact;

/// Grams of water that an open beaker 8 cm wide loses at a temperature (°C) within a time (minutes), by two formulas
/// that lie about a factor of 1.5 apart; the lower first, in whole grams. Room of 20 °C and half saturated air at rest.
///
/// - pools: `g = 25 A (xₛ − x)` kg/h, A in m², x in kg of water per kg of dry air (engineering
///   text quoted at imathworks.com), with the vapour pressure by Magnus (WMO-No. 8, annex 4.B: 6.112 hPa, 17.62,
///   243.12 °C)
/// - hot tanks: `E = exp(−(7.2 − 0.03236 t))` gallons per square foot and hour, t in °F (L. Kirman, finishing.com,
///   letter 174/85)
pub fn evaporation(celsius: &Exact, minutes: &Exact) -> (i64, i64) {
    let (pool, tank) = grams_per_hour(celsius.estimate());
    let hours = minutes.estimate() / 60.0;
    let (low, high) = if pool < tank { (pool, tank) } else { (tank, pool) };
    (whole(low * hours), whole(high * hours))
}

/// By the formula for pools, and by that for hot tanks.
fn grams_per_hour(celsius: f64) -> (f64, f64) {
    const PRESSURE: f64 = 1013.25;
    const AREA: f64 = core::f64::consts::PI * 0.04 * 0.04;
    const KG_PER_GALLON: f64 = 3.785_411_784;
    const SQUARE_FOOT: f64 = 0.092_903_04;
    let vapour = |celsius: f64| 6.112 * libm::exp(17.62 * celsius / (243.12 + celsius));
    let humidity = |pressure: f64| 0.622 * pressure / (PRESSURE - pressure);
    // At the boil the formula has no end; nobody holds that long.
    let hot = if celsius < 95.0 { celsius } else { 95.0 };
    let pool = 25.0 * AREA * (humidity(vapour(hot)) - humidity(0.5 * vapour(20.0))) * 1000.0;
    let fahrenheit = hot * 1.8 + 32.0;
    let tank = libm::exp(-(7.2 - 0.032_36 * fahrenheit)) * KG_PER_GALLON / SQUARE_FOOT * AREA * 1000.0;
    (pool, tank)
}

#[expect(clippy::cast_possible_truncation, reason = "grams of a beaker")]
fn whole(grams: f64) -> i64 {
    libm::round(grams) as i64
}

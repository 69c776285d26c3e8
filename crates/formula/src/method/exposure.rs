//! The temperature that each line meets.

use super::Thermal;
use crate::exact::Exact;
use crate::formula::Formula;
use notation::Span;

/// The temperature that a line meets, and where it is said.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Exposure {
    /// °C
    pub celsius: Exact,
    /// Where it is said.
    pub span: Span,
    /// Whether a step says it, not the phase.
    pub by_step: bool,
}

/// The hottest that each line meets: its phase's temperature, that of a step that heats it, or that of what it is
/// added to. None where nothing says.
pub fn exposures(formula: &Formula) -> Vec<Option<Exposure>> {
    let mut hottest: Vec<Option<Exposure>> = formula
        .items
        .iter()
        .map(|item| {
            let phase = formula.phases.get(item.phase?)?;
            let (celsius, span) = phase.heat.clone()?;
            Some(Exposure { celsius, span, by_step: false })
        })
        .collect();
    // What stands in the pot, at which temperature, and which step said so.
    let mut pot: Option<(Exact, Span)> = None;
    for step in &formula.steps {
        if let Some(celsius) = &step.temperature {
            match step.thermal {
                Thermal::Heats | Thermal::Cools => pot = Some((celsius.clone(), step.span)),
                Thermal::None => {
                    if step.adds {
                        pot = Some((celsius.clone(), step.span));
                    }
                }
            }
        } else if step.thermal == Thermal::Cools {
            pot = None;
        }
        let touched = step.thermal == Thermal::Heats || step.adds;
        let Some((celsius, span)) = pot.clone().filter(|_| touched) else { continue };
        for (at, item) in formula.items.iter().enumerate() {
            let named =
                step.items.contains(&at) || item.phase.is_some_and(|phase| step.phases.contains(&phase));
            if !named {
                continue;
            }
            let kept_cool = item
                .phase
                .and_then(|phase| formula.phases.get(phase))
                .is_some_and(|phase| phase.cool.is_some() || phase.cold);
            // A cool-down phase that a step adds hot is a slip of the method, told as such; here the phase's own
            // word counts.
            if kept_cool {
                continue;
            }
            if let Some(slot) = hottest.get_mut(at)
                && slot.as_ref().is_none_or(|known| known.celsius < celsius)
            {
                *slot = Some(Exposure { celsius: celsius.clone(), span, by_step: true });
            }
        }
    }
    hottest
}

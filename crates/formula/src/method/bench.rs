//! The bench on which the method is followed: what stands in one pot with what, and how warm it is.

use super::Thermal;
use super::act::{Act, Named, Scope};
use super::timeline::{Exposure, How, Late, Meeting, Reach, Said, Timeline};
use crate::exact::Exact;
use crate::formula::Formula;
use notation::{PhaseKind, Span};

/// How warm something is, and who says so.
#[derive(Clone, PartialEq, Eq, Debug)]
struct Warmth {
    celsius: Exact,
    span: Span,
    /// The sentence that says it while heating; none where a phase or a cooling step does.
    heated_in: Option<usize>,
    /// Whether a step cooled the batch to it.
    cooled: bool,
}

pub(super) struct Bench<'f> {
    formula: &'f Formula,
    now: Vec<Option<Warmth>>,
    /// Lines with the same number stand in one pot.
    pots: Vec<usize>,
    touched: Vec<bool>,
    /// Lines that went in after the batch had been cooled.
    went_in_cool: Vec<bool>,
    current: Vec<usize>,
    heated_once: bool,
    cooled_once: bool,
    line: Timeline,
}

impl<'f> Bench<'f> {
    pub(super) fn new(formula: &'f Formula) -> Bench<'f> {
        let count = formula.items.len();
        // What is heated may end up in whatever else is heated.
        let hottest = formula.phases.iter().filter_map(|phase| phase.heat.clone()).max();
        let mut bench = Bench {
            formula,
            now: vec![None; count],
            pots: (0..count).collect(),
            touched: vec![false; count],
            went_in_cool: vec![false; count],
            current: Vec::new(),
            heated_once: formula.phases.iter().any(|phase| phase.heat.is_some()),
            cooled_once: false,
            line: Timeline {
                hottest: vec![None; count],
                reach: vec![Reach::Unsaid; count],
                ..Timeline::default()
            },
        };
        for (at, item) in formula.items.iter().enumerate() {
            let Some(phase) = item.phase.and_then(|phase| formula.phases.get(phase)) else { continue };
            let said = phase.heat.clone().or_else(|| phase.cool.clone());
            let reach = match (&phase.heat, &phase.cool) {
                (Some(_), _) => hottest.clone(),
                (None, cool) => cool.clone(),
            };
            if let (Some(slot), Some((celsius, span))) = (bench.line.reach.get_mut(at), reach) {
                *slot = Reach::AtMost(celsius, span);
            }
            if let (Some(slot), Some((celsius, span))) = (bench.line.hottest.get_mut(at), phase.heat.clone())
            {
                *slot = Some(Exposure { celsius, span, how: How::Phase });
            }
            let steady =
                phase.kind != Some(PhaseKind::CoolDown) && (phase.heat.is_none() || phase.cool.is_none());
            if let (Some(slot), Some((celsius, span)), true) = (bench.now.get_mut(at), said, steady) {
                *slot = Some(Warmth { celsius, span, heated_in: None, cooled: false });
            }
        }
        if formula.steps.is_empty() {
            bench.meet_by_their_lines();
        }
        bench
    }

    pub(super) fn finished(self) -> Timeline {
        self.line
    }

    pub(super) fn does(&mut self, step: usize, act: &Act) {
        let into = self.lines(&act.into);
        let mut named: Vec<usize> =
            self.lines(&act.named).into_iter().filter(|at| !into.contains(at)).collect();
        match act.scope {
            Scope::Handled if named.is_empty() && into.is_empty() => {
                named = (0..self.now.len()).filter(|at| self.touched.get(*at) == Some(&true)).collect();
            }
            Scope::Named | Scope::Handled => {}
            Scope::Everything => named = self.everything(act),
            Scope::Rest => {
                named.extend(self.untouched().filter(|at| !named.contains(at)).collect::<Vec<_>>());
            }
        }
        if act.adds {
            self.add(step, act, named, into);
        } else if act.thermal == Thermal::Heats {
            self.heat(step, act, named);
        } else if act.thermal == Thermal::Cools {
            self.cool(act, &named);
        } else if !named.is_empty() {
            self.handled(named);
        }
    }

    fn lines(&self, named: &Named) -> Vec<usize> {
        let of_phase = |at: usize| self.formula.items_of(at).map(|(at, _)| at);
        let mut lines: Vec<usize> = named.items.clone();
        lines.extend(named.phases.iter().flat_map(|phase| of_phase(*phase)));
        lines.sort_unstable();
        lines.dedup();
        lines
    }

    /// All lines that no later act adds by themselves and that no phase keeps cool.
    fn everything(&self, act: &Act) -> Vec<usize> {
        let acts = self.formula.steps.iter().flat_map(|step| &step.acts);
        let later: Vec<usize> = acts
            .skip_while(|other| other.span != act.span)
            .skip(1)
            .filter(|act| act.adds)
            .flat_map(|act| self.lines(&act.named))
            .collect();
        (0..self.formula.items.len()).filter(|at| !later.contains(at) && !self.is_kept_cool(*at)).collect()
    }

    fn untouched(&self) -> impl Iterator<Item = usize> {
        self.touched.iter().enumerate().filter(|(_, touched)| !**touched).map(|(at, _)| at)
    }

    fn is_kept_cool(&self, item: usize) -> bool {
        let phase = self.formula.items.get(item).and_then(|item| self.formula.phases.get(item.phase?));
        phase.is_some_and(crate::formula::Phase::is_kept_cool)
    }

    fn handled(&mut self, lines: Vec<usize>) {
        for at in &lines {
            if let Some(touched) = self.touched.get_mut(*at) {
                *touched = true;
            }
        }
        self.current = lines;
    }

    /// The lines with all that stands in their pots.
    fn with_their_pots(&self, lines: &[usize]) -> Vec<usize> {
        let pots: Vec<usize> = lines.iter().filter_map(|at| self.pots.get(*at)).copied().collect();
        let here = self.pots.iter().enumerate().filter(|(_, pot)| pots.contains(pot));
        here.map(|(at, _)| at).collect()
    }

    fn heat(&mut self, step: usize, act: &Act, named: Vec<usize>) {
        self.heated_once = true;
        let object = if named.is_empty() { self.current.clone() } else { named };
        if object.is_empty() {
            // Nobody says what: anything may get as hot.
            self.may_reach(&(0..self.now.len()).collect::<Vec<_>>(), act);
            return;
        }
        let lines = self.with_their_pots(&object);
        if act.scope == Scope::Everything {
            self.may_reach(&(0..self.now.len()).collect::<Vec<_>>(), act);
        }
        self.may_reach(&lines, act);
        self.say(act);
        for at in &lines {
            let warmth = act.celsius.clone().map(|(celsius, span)| Warmth {
                celsius,
                span,
                heated_in: Some(act.breath),
                cooled: false,
            });
            if let Some(warmth) = &warmth {
                let again = self.went_in_cool.get(*at) == Some(&true);
                self.meets(step, act, *at, warmth, again);
            }
            let warmth = warmth.or_else(|| self.of_phase(*at));
            if let Some(slot) = self.now.get_mut(*at) {
                *slot = warmth;
            }
        }
        self.handled(lines);
    }

    /// The warmth that a line's phase says.
    fn of_phase(&self, item: usize) -> Option<Warmth> {
        let phase = self.formula.phases.get(self.formula.items.get(item)?.phase?)?;
        let (celsius, span) = phase.heat.clone()?;
        Some(Warmth { celsius, span, heated_in: None, cooled: false })
    }

    fn may_reach(&mut self, lines: &[usize], act: &Act) {
        for at in lines {
            let known = match &act.celsius {
                Some((celsius, span)) => Reach::AtMost(celsius.clone(), *span),
                None if act.to_the_eye => Reach::Open,
                None => self.of_phase(*at).map_or(Reach::Open, |said| Reach::AtMost(said.celsius, said.span)),
            };
            if let Some(slot) = self.line.reach.get_mut(*at) {
                *slot = slot.clone().or(known);
            }
        }
    }

    /// Notes to what the act heats the phases that it names by their labels.
    fn say(&mut self, act: &Act) {
        let Some((celsius, span)) = &act.celsius else { return };
        for phase in &act.labels {
            self.line.said.push(Said { phase: *phase, celsius: celsius.clone(), span: *span });
        }
    }

    /// Notes that a line meets a temperature by an act.
    fn meets(&mut self, step: usize, act: &Act, item: usize, warmth: &Warmth, again: bool) {
        let Warmth { celsius, span, .. } = warmth;
        if self.is_kept_cool(item) || again {
            let late = Late {
                item,
                celsius: celsius.clone(),
                said: *span,
                act: act.span,
                step,
                again: again || !act.adds,
            };
            self.line.late.push(late);
        } else if let Some(slot) = self.line.hottest.get_mut(item)
            && slot.as_ref().is_none_or(|known| known.celsius < *celsius)
        {
            *slot = Some(Exposure { celsius: celsius.clone(), span: *span, how: How::Step });
        }
    }

    fn cool(&mut self, act: &Act, named: &[usize]) {
        let all: Vec<usize> = (0..self.now.len()).filter(|at| self.touched.get(*at) == Some(&true)).collect();
        let lines = if named.is_empty() { all } else { self.with_their_pots(named) };
        self.cooled_once |= self.heated_once && !lines.is_empty();
        self.set_cooled(&lines, act);
    }

    fn set_cooled(&mut self, lines: &[usize], act: &Act) {
        let warmth = act.celsius.clone().map(|(celsius, span)| Warmth {
            celsius,
            span,
            heated_in: None,
            cooled: true,
        });
        for at in lines {
            if let Some(slot) = self.now.get_mut(*at) {
                slot.clone_from(&warmth);
            }
        }
    }

    fn add(&mut self, step: usize, act: &Act, named: Vec<usize>, into: Vec<usize>) {
        let (named, base) = self.parties(act, named, into);
        let everyone: Vec<usize> = named.iter().chain(&base).copied().collect();
        match (act.thermal, &act.celsius) {
            (Thermal::Heats, _) => {
                // `melt A into B`, `heat and stir`: the whole is heated.
                self.join(&everyone, act);
                self.heat(step, act, everyone);
                return;
            }
            (Thermal::Cools, _) | (Thermal::None | Thermal::Holds, Some(_)) => {
                self.cooled_once |= self.heated_once && act.thermal == Thermal::Cools && !base.is_empty();
                let there = if base.is_empty() { named.clone() } else { self.with_their_pots(&base) };
                self.set_cooled(&there, act);
            }
            (Thermal::None | Thermal::Holds, None) => {}
        }
        let there = self.warmth(&base);
        let stated = there.as_ref().is_some_and(|warmth| {
            warmth.cooled || act.celsius.is_some() || warmth.heated_in == Some(act.breath)
        });
        for at in &named {
            if let Some(warmth) = &there
                && (stated || !self.is_kept_cool(*at))
            {
                self.meets(step, act, *at, &warmth.clone(), false);
            }
            if self.cooled_once
                && let Some(cool) = self.went_in_cool.get_mut(*at)
            {
                *cool = true;
            }
        }
        self.join(&everyone, act);
        self.share_reach(&named, &base, there.as_ref());
        self.share_warmth(&named, &base, there);
        self.handled(everyone);
    }

    /// What is added, and to what.
    fn parties(&self, act: &Act, named: Vec<usize>, into: Vec<usize>) -> (Vec<usize>, Vec<usize>) {
        if !into.is_empty() {
            let what = if named.is_empty() { self.current.clone() } else { named };
            return (what.into_iter().filter(|at| !into.contains(at)).collect(), into);
        }
        if named.is_empty() || act.scope == Scope::Everything {
            return (if named.is_empty() { self.current.clone() } else { named }, Vec::new());
        }
        let base = self.with_their_pots(&self.current);
        let base: Vec<usize> = base.into_iter().filter(|at| !named.contains(at)).collect();
        (named, base)
    }

    /// The one temperature of some lines; none where they differ or one is not known.
    fn warmth(&self, lines: &[usize]) -> Option<Warmth> {
        let mut all = lines.iter().filter_map(|at| self.now.get(*at));
        let first = all.next()?.clone()?;
        let alike = all.all(|other| other.as_ref().is_some_and(|other| other.celsius == first.celsius));
        alike.then_some(first)
    }

    fn join(&mut self, lines: &[usize], act: &Act) {
        self.note_meetings(lines, act);
        let lines = self.with_their_pots(lines);
        let Some(pot) = lines.first().copied() else { return };
        for at in lines {
            if let Some(slot) = self.pots.get_mut(at) {
                *slot = pot;
            }
        }
    }

    fn share_reach(&mut self, named: &[usize], base: &[usize], there: Option<&Warmth>) {
        let of = |lines: &[usize], line: &Timeline| {
            lines.iter().filter_map(|at| line.reach.get(*at)).cloned().fold(Reach::Unsaid, Reach::or)
        };
        let hot = match there {
            Some(warmth) => Reach::AtMost(warmth.celsius.clone(), warmth.span),
            None => of(base, &self.line),
        };
        let brought = of(named, &self.line);
        for at in named {
            if let Some(slot) = self.line.reach.get_mut(*at) {
                *slot = slot.clone().or(hot.clone());
            }
        }
        for at in base {
            if let Some(slot) = self.line.reach.get_mut(*at) {
                *slot = slot.clone().or(brought.clone());
            }
        }
    }

    /// How warm the mixture is: as its pot was, where what comes in is as warm or little.
    fn share_warmth(&mut self, named: &[usize], base: &[usize], there: Option<Warmth>) {
        let brought = self.warmth(named);
        let little = self.is_little(named);
        let mixed = match (there, brought) {
            (Some(there), Some(brought)) if !little && brought.celsius < there.celsius => Some(brought),
            (Some(there), None) => little.then_some(there),
            (None, brought) => brought.filter(|_| base.is_empty()),
            (there, _) => there,
        };
        let all: Vec<usize> = self.with_their_pots(&named.iter().chain(base).copied().collect::<Vec<_>>());
        for at in all {
            if let Some(slot) = self.now.get_mut(at) {
                slot.clone_from(&mixed);
            }
        }
    }

    /// Whether some lines are no more than a fifth of the whole: too little to cool a batch much.
    fn is_little(&self, lines: &[usize]) -> bool {
        let shares: Option<Vec<&Exact>> =
            lines.iter().filter_map(|at| self.formula.items.get(*at)).map(|item| item.mid()).collect();
        shares.is_some_and(|shares| shares.into_iter().cloned().sum::<Exact>() <= Exact::fraction(1, 5))
    }

    fn note_meetings(&mut self, lines: &[usize], act: &Act) {
        let mut phases: Vec<usize> =
            lines.iter().filter_map(|at| self.formula.items.get(*at)?.phase).collect();
        phases.sort_unstable();
        phases.dedup();
        for (number, first) in phases.iter().enumerate() {
            for second in phases.iter().skip(number + 1) {
                if self.stands_alone(*first) && self.stands_alone(*second) {
                    self.note_meeting(*first, *second, Some(act.span));
                }
            }
        }
    }

    /// Whether nothing of another phase stands in one pot with it.
    fn stands_alone(&self, phase: usize) -> bool {
        let own: Vec<usize> = self.formula.items_of(phase).map(|(at, _)| at).collect();
        self.with_their_pots(&own)
            .into_iter()
            .all(|at| self.formula.items.get(at).is_some_and(|item| item.phase == Some(phase)))
    }

    fn note_meeting(&mut self, first: usize, second: usize, act: Option<Span>) {
        let warmth = |phase: usize| {
            let own: Vec<usize> = self.formula.items_of(phase).map(|(at, _)| at).collect();
            self.warmth(&own).map(|warmth| (phase, warmth.celsius, warmth.span))
        };
        let (Some(a), Some(b)) = (warmth(first), warmth(second)) else { return };
        let (hot, cold) = if a.1 >= b.1 { (a, b) } else { (b, a) };
        self.line.meetings.push(Meeting { hot, cold, act });
    }

    /// Without steps the water phase and the oil phase of an emulsion meet as their lines say.
    fn meet_by_their_lines(&mut self) {
        let of = |kind: PhaseKind| {
            let mut found = (0..self.formula.phases.len())
                .filter(|at| self.formula.phases.get(*at).is_some_and(|phase| phase.kind == Some(kind)));
            let only = found.next()?;
            found.next().is_none().then_some(only)
        };
        if let (Some(water), Some(oil)) = (of(PhaseKind::Water), of(PhaseKind::Oil)) {
            self.note_meeting(water, oil, None);
        }
    }
}

//! Searches that run side by side and share their blocks.
//!
//! A search asks for one plan after another and cannot say beforehand which. Several of them on one model each wait
//! until all others wait too; then every plan asked for is run block by block ([`Model::under_plans`]), so that what
//! the plans share is worked out once. Results are those of [`Study::run`](super::Study::run) to the last bit, whoever else is waiting.

use super::blocks::in_order;
use super::model::{Model, Output, under_plans};
use super::run::{EngineError, Table};
use crate::random::{BLOCK, Plan};
use std::collections::HashMap;
use std::ops::ControlFlow;
use std::sync::atomic::AtomicBool;
use std::sync::{Condvar, Mutex, MutexGuard};

/// What searches share.
pub struct Together<'a> {
    seed: u64,
    trials: u64,
    interrupt: Option<&'a AtomicBool>,
    desk: Mutex<Desk<'a>>,
    changed: Condvar,
}

#[derive(Default)]
struct Desk<'a> {
    /// What is asked for and not begun.
    asked: Vec<Question<'a>>,
    answers: HashMap<u64, Result<Table, EngineError>>,
    /// Searches that have not ended.
    running: usize,
    next: u64,
    /// Whether nobody answers any more.
    closed: bool,
}

struct Question<'a> {
    number: u64,
    model: &'a dyn Model,
    plan: Plan,
}

/// Counts a search as ended, even if it panics.
struct Running<'t, 'a>(&'t Together<'a>);

impl Drop for Running<'_, '_> {
    fn drop(&mut self) {
        self.0.desk().running -= 1;
        self.0.changed.notify_all();
    }
}

/// Lets go of those who wait, even if answering panics.
struct Serving<'t, 'a>(&'t Together<'a>);

impl Drop for Serving<'_, '_> {
    fn drop(&mut self) {
        self.0.desk().closed = true;
        self.0.changed.notify_all();
    }
}

impl<'a> Together<'a> {
    /// For runs of so many trials with this seed.
    pub fn new(seed: u64, trials: u64, interrupt: Option<&'a AtomicBool>) -> Self {
        Self {
            seed,
            trials,
            interrupt,
            desk: Mutex::default(),
            changed: Condvar::new(),
        }
    }

    fn desk(&self) -> MutexGuard<'_, Desk<'a>> {
        self.desk.lock().unwrap_or_else(|e| e.into_inner())
    }

    /// Does all jobs at once and returns what they return, in their order. A job asks by [`Self::run`] only.
    pub fn all<T: Send>(&self, jobs: Vec<impl FnOnce() -> T + Send>) -> Vec<T> {
        *self.desk() = Desk {
            running: jobs.len(),
            ..Desk::default()
        };
        std::thread::scope(|scope| {
            let jobs = jobs.into_iter().map(|job| {
                scope.spawn(|| {
                    let _running = Running(self);
                    job()
                })
            });
            let jobs: Vec<_> = jobs.collect();
            {
                let _serving = Serving(self);
                while self.serve() {}
            }
            let done = jobs.into_iter().map(|job| match job.join() {
                Ok(value) => value,
                Err(panic) => std::panic::resume_unwind(panic),
            });
            done.collect()
        })
    }

    /// The model under a plan, once all others wait as well.
    ///
    /// # Errors
    /// If interrupted.
    pub fn run(&self, model: &'a dyn Model, plan: Plan) -> Result<Table, EngineError> {
        let mut desk = self.desk();
        let number = desk.next;
        desk.next += 1;
        desk.asked.push(Question {
            number,
            model,
            plan,
        });
        self.changed.notify_all();
        loop {
            if let Some(answer) = desk.answers.remove(&number) {
                return answer;
            }
            if desk.closed {
                return Err(EngineError::Interrupted);
            }
            desk = match self.changed.wait(desk) {
                Ok(desk) => desk,
                Err(e) => e.into_inner(),
            };
        }
    }

    /// Answers all who wait, once all do; `false` when all have ended.
    fn serve(&self) -> bool {
        let mut desk = self.desk();
        // An answer that nobody has taken yet belongs to one who is not waiting any more.
        while desk.asked.len() < desk.running || !desk.answers.is_empty() {
            desk = match self.changed.wait(desk) {
                Ok(desk) => desk,
                Err(e) => e.into_inner(),
            };
        }
        if desk.running == 0 {
            return false;
        }
        let mut asked = std::mem::take(&mut desk.asked);
        drop(desk);
        asked.sort_by_key(|q| q.number);
        while let Some(first) = asked.first() {
            let model = first.model;
            let same = |q: &Question| std::ptr::addr_eq(q.model, model);
            let (own, others) = asked.into_iter().partition(same);
            asked = others;
            self.answer(model, own);
        }
        self.changed.notify_all();
        true
    }

    fn answer(&self, model: &dyn Model, asked: Vec<Question>) {
        let mut tables: Vec<Table> = asked
            .iter()
            .map(|_| Table {
                names: model.columns(),
                columns: vec![Vec::with_capacity(self.trials as usize); model.columns().len()],
            })
            .collect();
        let done = in_order(
            self.trials.div_ceil(BLOCK as u64),
            self.interrupt,
            &|block| {
                let plans = asked.iter().map(|q| &q.plan);
                under_plans(model, (self.seed, block), plans, |output| output)
            },
            &mut |block, outputs: Vec<Output>| {
                let left = (self.trials - block * BLOCK as u64).min(BLOCK as u64) as usize;
                for (table, output) in tables.iter_mut().zip(&outputs) {
                    for (all, new) in table.columns.iter_mut().zip(output) {
                        all.extend_from_slice(&new.0[..left]);
                    }
                }
                ControlFlow::Continue(())
            },
            &|_| {},
        );
        let mut desk = self.desk();
        for (question, table) in asked.into_iter().zip(tables) {
            desk.answers.insert(question.number, done.map(|()| table));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::{ListInput, ListModel, Study};
    use crate::random::{Dist, Tag, Treatment};

    #[test]
    fn each_search_gets_what_it_would_get_alone() {
        let dist = || Dist::normal(0.0, 1.0).unwrap();
        let inputs = ["a", "b"].map(|n| ListInput::new(n, dist()));
        let model = ListModel::new(inputs.into(), &["sum"], |x: &[f64], out: &mut [f64]| {
            out[0] = x[0] + 2.0 * x[1];
        });
        let plan = |name: &str, by: f64| Plan::new().with(Tag::of(name), Treatment::Scaled(by));
        let together = Together::new(4, 700, None);
        // One asks once, one not at all, one as often as it takes.
        let job = |name: &'static str, times: u32| {
            let (together, model) = (&together, &model);
            move || -> Vec<Table> {
                let asked = (1..=times).map(|k| plan(name, f64::from(k)));
                asked.map(|p| together.run(model, p).unwrap()).collect()
            }
        };
        let found = together.all(vec![job("a", 1), job("a", 0), job("b", 5), job("a", 3)]);
        assert_eq!(found.iter().map(Vec::len).collect::<Vec<_>>(), [1, 0, 5, 3]);
        for (name, tables) in ["a", "a", "b", "a"].iter().zip(&found) {
            for (k, table) in (1..).zip(tables) {
                let study = Study {
                    plan: plan(name, f64::from(k)),
                    ..Study::new(4)
                };
                assert_eq!(*table, study.run(&model, 700).unwrap());
                assert_eq!(table.trials(), 700);
            }
        }
    }

    #[test]
    fn an_interruption_reaches_all() {
        let model = ListModel::new(
            vec![ListInput::new("a", Dist::normal(0.0, 1.0).unwrap())],
            &["a"],
            |x: &[f64], out: &mut [f64]| out[0] = x[0],
        );
        let stop = AtomicBool::new(true);
        let together = Together::new(4, 700, Some(&stop));
        let job = || || together.run(&model, Plan::new());
        let found = together.all(vec![job(), job()]);
        assert!(found.iter().all(|f| *f == Err(EngineError::Interrupted)));
    }
}

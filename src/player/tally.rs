//! The problems of a log: one that is the same in most rows of a column is one problem.

use crate::diagnostic::{MOST_PROBLEMS, Place, Problem, Problems, add};

/// A problem of so few rows, or of less than a quarter of them, is told row by row.
const FEW: usize = 3;

/// Problems in the order in which they were found.
#[derive(Default)]
pub(crate) struct Tally {
    kinds: Vec<Kind>,
    /// The kind of each problem that is kept, and the problem.
    kept: Vec<(usize, Problem)>,
    found: usize,
}

/// What is wrong in one way in one column.
struct Kind {
    /// The column; none of a problem with a whole row or file.
    column: Option<String>,
    remedy: String,
    times: usize,
}

impl Tally {
    pub fn add(&mut self, problem: Problem) {
        let column = match &problem.place {
            Place::Cell { column, .. } => Some(column.clone()),
            _ => None,
        };
        let same = |kind: &Kind| kind.column == column && kind.remedy == problem.remedy;
        let at = self.kinds.iter().position(same).unwrap_or_else(|| {
            self.kinds.push(Kind {
                column,
                remedy: problem.remedy.clone(),
                times: 0,
            });
            self.kinds.len() - 1
        });
        self.kinds[at].times += 1;
        self.found += 1;
        if self.kinds[at].times == 1 || self.kept.len() <= MOST_PROBLEMS {
            self.kept.push((at, problem));
        }
    }

    pub fn is_empty(&self) -> bool {
        self.found == 0
    }

    /// How many were found.
    pub fn len(&self) -> usize {
        self.found
    }

    /// All of them, those of a whole column once, of so many rows read.
    pub fn all(self, rows: usize) -> Problems {
        let of_column =
            |kind: &Kind| kind.column.is_some() && kind.times > FEW && 4 * kind.times > rows;
        let mut all = Vec::new();
        let mut told = vec![false; self.kinds.len()];
        for (at, mut problem) in self.kept {
            let kind = &self.kinds[at];
            if of_column(kind) {
                if std::mem::replace(&mut told[at], true) {
                    continue;
                }
                let times = kind.times;
                problem.found = if times == rows {
                    format!("{}, and the like in all {rows} rows", problem.found)
                } else {
                    format!("{}, and the like in {times} of {rows} rows", problem.found)
                };
            }
            add(&mut all, problem);
        }
        Problems(all)
    }
}

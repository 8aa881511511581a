//! Stroke indices: asked about where strokes are received by them.

use super::super::course::{HoleLine, Map};
use super::super::tags;
use super::ask;
use crate::diagnostic::{Place, Question, Topic};

/// Asks about the `handicap` tags of a file's holes: one that is no stroke index, or one that two
/// holes have. The holes of a file with more than eighteen are those of several courses, each with
/// indices of its own.
pub(in super::super) fn questions(map: &Map<'_>, lines: &[HoleLine]) -> Vec<Question> {
    let holes: Vec<&HoleLine> = lines
        .iter()
        .filter(|line| !line.is_range && !line.assumed)
        .collect();
    let expected = "stroke indices (handicap) from 1 to 18, each on one hole";
    let remedy = "write the course's own on the golf=hole, or leave the strokes received out";
    let mut questions = Vec::new();
    let mut seen: Vec<(u8, Vec<&str>)> = Vec::new();
    for hole in &holes {
        let feature = &map.features[hole.feature];
        let Some(text) = feature.tag("handicap") else {
            continue;
        };
        match tags::stroke_index(text) {
            None => questions.push(ask(
                Topic::StrokeIndex,
                map.file,
                &feature.place,
                expected,
                format!("handicap={text} on hole {}", hole.reference),
                remedy,
            )),
            Some(index) => match seen.iter_mut().find(|each| each.0 == index) {
                Some(each) => each.1.push(&hole.reference),
                None => seen.push((index, vec![&hole.reference])),
            },
        }
    }
    let twice: Vec<String> = seen
        .iter()
        .filter(|(_, holes)| holes.len() > 1)
        .map(|(index, holes)| format!("{index} on holes {}", holes.join(", ")))
        .collect();
    if !twice.is_empty() && holes.len() <= 18 {
        questions.push(ask(
            Topic::StrokeIndex,
            map.file,
            &Place::File,
            expected,
            format!("stroke index {}", twice.join("; ")),
            remedy,
        ));
    }
    questions
}

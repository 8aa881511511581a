//! A player written as a file.

use std::fmt::Write as _;

use serde_json::Value;

use super::{BASES, course_play, set_up};
use crate::diagnostic::{Note, Place};
use crate::player::{BallFactors, Handedness, Player};

/// Writes a player; [`from_json`](super::from_json) gives the same player back, to the bit.
#[must_use]
pub fn to_json(player: &Player) -> String {
    let mut out = String::from("{\n  \"format\": 1,\n");
    let hand = match player.handedness {
        Handedness::Right => "right",
        Handedness::Left => "left",
    };
    // Writing to a String cannot fail.
    let _ = writeln!(out, "  \"name\": {},", text(&player.name));
    let _ = writeln!(out, "  \"handedness\": \"{hand}\",");
    let _ = writeln!(out, "  \"handicap\": {},", number(player.handicap));
    let _ = writeln!(
        out,
        "  \"club_length_m\": {},",
        number(player.club_length_m)
    );
    if player.ball != BallFactors::default() {
        let (drag, lift) = (number(player.ball.drag), number(player.ball.lift));
        let _ = writeln!(out, "  \"ball\": {{ \"drag\": {drag}, \"lift\": {lift} }},");
    }
    course_play::write(&mut out, &player.course_play());
    out.push_str("  \"clubs\": [\n");
    for (i, club) in player.clubs.iter().enumerate() {
        let basis = BASES
            .iter()
            .find(|(_, b)| *b == club.basis)
            .map_or("given", |(n, _)| *n);
        let model = &club.launches;
        let _ = writeln!(out, "    {{");
        let _ = writeln!(out, "      \"club\": {},", text(&club.club));
        let _ = writeln!(out, "      \"shape\": {},", text(&club.shape));
        let _ = writeln!(out, "      \"shots\": {},", club.shots);
        let _ = writeln!(out, "      \"basis\": \"{basis}\",");
        let _ = writeln!(out, "      \"carry_m\": {},", number(club.carry_m));
        let _ = writeln!(out, "      \"dof\": {},", number(model.dof));
        let _ = writeln!(
            out,
            "      \"mishit_share\": {},",
            number(model.mishit_share)
        );
        set_up::write(&mut out, &club.set_up);
        let _ = writeln!(out, "      \"centre\": {},", row(&model.centre));
        let rows: Vec<String> = model.scale.iter().map(row).collect();
        let _ = writeln!(
            out,
            "      \"scale\": [\n        {}\n      ]",
            rows.join(",\n        ")
        );
        out.push_str(if i + 1 < player.clubs.len() {
            "    },\n"
        } else {
            "    }\n"
        });
    }
    out.push_str("  ],\n  \"notes\": [");
    for (i, note) in player.notes.iter().enumerate() {
        out.push_str(if i > 0 { ",\n    " } else { "\n    " });
        out.push_str(&match note.topic {
            None => text(&said(note)),
            Some(topic) => format!(
                "{{ \"topic\": \"{topic}\", \"text\": {} }}",
                text(&said(note))
            ),
        });
    }
    out.push_str(if player.notes.is_empty() {
        "]"
    } else {
        "\n  ]"
    });
    if let Some(log) = &player.log {
        // Strings and finite numbers: writing them cannot fail.
        let log = serde_json::to_string_pretty(&**log).unwrap_or_default();
        let log = crate::diagnostic::json(&log).replace('\n', "\n  ");
        let _ = write!(out, ",\n  \"log\": {log}");
    }
    out.push_str("\n}\n");
    out
}

/// A note with its place, as one line of text.
fn said(note: &Note) -> String {
    if note.place == Place::File {
        note.text.clone()
    } else {
        format!("{}: {}", note.place, note.text)
    }
}

fn text(plain: &str) -> String {
    crate::diagnostic::json(&Value::String(plain.to_owned()).to_string())
}

/// The shortest decimal that parses to the same bits (Rust's own guarantee).
pub(super) fn number(value: f64) -> String {
    format!("{value:?}")
}

fn row(values: &[f64; 5]) -> String {
    format!("[{}]", values.map(number).join(", "))
}

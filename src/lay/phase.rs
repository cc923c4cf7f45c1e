//! The phases of a search: which rounds explore and which compress the incumbent.

/// Rounds after which the first turns of a search end. Each turn after these is as long as all before it.
///
/// Callers that want a short search ask for one of these numbers, so that it ends just after a compression.
pub const TURNS: [u32; 3] = [8, 15, 36];

/// Part of the rounds of a turn that compress; they are the turn's last. Of the first turns it is a part of all
/// rounds up to their end. (Judged by benches; no source.)
const COMPRESSED: f64 = 0.2;

/// What a round is spent on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Phase {
    /// On lays unlike the incumbent.
    Exploration,
    /// On the incumbent, shortened by smaller and smaller steps. The number is the part of this
    /// compression that is done, 0 to 1.
    Compression(f64),
}

impl Phase {
    /// Returns the phase of a round, counted from 0. It does not depend on how many rounds will follow: a
    /// search that is stopped has found what a shorter one would have found.
    pub(super) fn of(round: u32) -> Self {
        let (mut of, mut to) = (TURNS[0], TURNS[0]);
        for turn in 1.. {
            if round < to {
                break;
            }
            let next = TURNS.get(turn).copied();
            of = next.unwrap_or(to);
            to = next.unwrap_or(to.saturating_mul(2));
        }
        let compressed = (f64::from(of) * COMPRESSED).floor();
        let into = compressed - f64::from(to - round);
        if into < 0.0 {
            Self::Exploration
        } else {
            Self::Compression(into / compressed)
        }
    }
}

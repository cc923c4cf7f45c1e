//! What a piece is in the garment as it is worn, and the roles of its edges there.

use super::pieces::Piece;
use crate::diagnostic::nearest;
use crate::draft::DraftPiece;
use crate::draft::{EdgeId, NotchId, Part, Player, Role, Seen};
use crate::script::numbers::{Made, fault, source};
use rhai::{Array, Dynamic, Engine, Map, NativeCallContext};

/// The names as a sentence ends with them, and the one that was meant, if any is near.
fn choices(found: &str, names: &[&str]) -> String {
    let meant = nearest(found, names.iter().copied());
    let meant = meant.map_or(String::new(), |name| format!("did you mean '{name}'? "));
    match names {
        [] => "there is none".to_owned(),
        names => format!("{meant}there are {}", names.join(", ")),
    }
}

fn part(ctx: &NativeCallContext, word: &str) -> Made<Part> {
    let found = Part::ALL.iter().find(|part| part.word() == word);
    found.copied().ok_or_else(|| {
        let names: Vec<&str> = Part::ALL.iter().map(|part| part.word()).collect();
        let all = choices(word, &names);
        fault(ctx, format!("no garment has a part '{word}'; {all}"))
    })
}

fn role(ctx: &NativeCallContext, part: Part, word: &str) -> Made<Role> {
    let (must, may) = part.roles();
    let mut roles = must.iter().chain(may);
    let found = roles.find(|role| role.word() == word);
    found.copied().ok_or_else(|| {
        let names: Vec<&str> = must.iter().chain(may).map(|role| role.word()).collect();
        let (part, all) = (part.word(), choices(word, &names));
        fault(ctx, format!("a '{part}' has no role '{word}'; {all}"))
    })
}

/// The edge of the piece that is of that name.
fn edge(ctx: &NativeCallContext, piece: &DraftPiece, name: &str) -> Made<EdgeId> {
    let names: Vec<&str> = piece.edges.iter().map(|edge| edge.name.as_str()).collect();
    let found = names.iter().position(|own| *own == name).map(EdgeId);
    found.ok_or_else(|| {
        let all = choices(name, &names);
        fault(
            ctx,
            format!("the {} has no edge '{name}'; {all}", piece.name),
        )
    })
}

/// The notch of the piece that is of that name.
fn notch(ctx: &NativeCallContext, piece: &DraftPiece, name: &str) -> Made<NotchId> {
    let names: Vec<&str> = piece.notches.iter().map(|n| n.name.as_str()).collect();
    let found = names.iter().position(|own| *own == name).map(NotchId);
    found.ok_or_else(|| {
        let all = choices(name, &names);
        fault(
            ctx,
            format!("the {} has no notch '{name}'; {all}", piece.name),
        )
    })
}

/// The players of a role: one name, or a list of them.
fn players(
    ctx: &NativeCallContext,
    piece: &DraftPiece,
    role: Role,
    names: Dynamic,
) -> Made<Vec<(Role, Player)>> {
    let names = match names.clone().try_cast::<Array>() {
        Some(names) => names,
        None => vec![names],
    };
    let named = names.into_iter().map(|name| {
        let name = name.into_immutable_string().map_err(|kind| {
            let word = role.word();
            fault(
                ctx,
                format!("'{word}' wants a name or a list of names, not {kind}"),
            )
        })?;
        let player = match role.is_notch() {
            true => Player::Notch(notch(ctx, piece, &name)?),
            false => Player::Edge(edge(ctx, piece, &name)?),
        };
        Ok((role, player))
    });
    named.collect()
}

fn seen_as(ctx: &NativeCallContext, p: &mut Piece, word: &str, roles: Map) -> Made<Piece> {
    let part = part(ctx, word)?;
    let drafted = p.drafted();
    let mut seen = Seen {
        part,
        roles: Vec::new(),
        source: source(ctx),
    };
    for (word, names) in roles {
        let role = role(ctx, part, &word)?;
        seen.roles.extend(players(ctx, &drafted, role, names)?);
    }
    let given = |role: &Role| seen.roles.iter().any(|(own, _)| own == role);
    if let Some(lacking) = part.roles().0.iter().find(|role| !given(role)) {
        let (role, name) = (lacking.word(), &drafted.name);
        let text =
            format!("a '{word}' wants the role '{role}': which edge of the {name} plays it?");
        return Err(fault(ctx, text));
    }
    Ok(p.change(|piece| piece.seen = Some(seen)))
}

/// Adds a role that only some styles have.
fn plays(ctx: &NativeCallContext, p: &mut Piece, word: &str, names: Dynamic) -> Made<Piece> {
    let drafted = p.drafted();
    let Some(seen) = &drafted.seen else {
        let name = &drafted.name;
        let text = format!("say first what the {name} is: .seen_as(part, #{{ roles }})");
        return Err(fault(ctx, text));
    };
    let role = role(ctx, seen.part, word)?;
    let more = players(ctx, &drafted, role, names)?;
    Ok(p.change(|piece| {
        if let Some(seen) = &mut piece.seen {
            seen.roles.extend(more);
        }
    }))
}

/// Says that an edge goes on from another beyond a cut.
fn part_of(ctx: &NativeCallContext, p: &mut Piece, name: &str, whole: &str) -> Made<Piece> {
    let drafted = p.drafted();
    let (own, whole) = (edge(ctx, &drafted, name)?, edge(ctx, &drafted, whole)?);
    if own == whole {
        return Err(fault(ctx, format!("'{name}' cannot be a part of itself")));
    }
    Ok(p.change(|piece| {
        if let Some(edge) = piece.edges.get_mut(own.0) {
            edge.part_of = Some(whole);
        }
    }))
}

pub(super) fn register(engine: &mut Engine) {
    engine.register_fn(
        "seen_as",
        |ctx: NativeCallContext, p: &mut Piece, part: &str, roles: Map| {
            seen_as(&ctx, p, part, roles)
        },
    );
    engine.register_fn(
        "seen_as",
        |ctx: NativeCallContext, p: &mut Piece, part: &str| seen_as(&ctx, p, part, Map::new()),
    );
    engine.register_fn(
        "plays",
        |ctx: NativeCallContext, p: &mut Piece, role: &str, names: Dynamic| {
            plays(&ctx, p, role, names)
        },
    );
    engine.register_fn(
        "part_of",
        |ctx: NativeCallContext, p: &mut Piece, edge: &str, whole: &str| {
            part_of(&ctx, p, edge, whole)
        },
    );
}

//! How long garments take to be shown in their cloth: `cargo bench --bench in_cloth`.

use chalkstripe::diagnostic::Source;
use chalkstripe::job;
use chalkstripe::lay::{Effort, Search};
use chalkstripe::made_up::Facing;
use chalkstripe::order;
use chalkstripe::sheets::in_cloth::InCloth;
use chalkstripe::sheets::views;
use chalkstripe::workshop::Workshop;
use std::path::Path;
use std::time::Instant;

fn main() {
    let text = include_str!("../../examples/check-side-vents.toml").to_owned() + "\n[waistcoat]\n";
    let source = Source::new("check.toml", text);
    let order = order::parse("check", &source, Path::new(""))
        .expect("a good order")
        .order;
    let drafted = job::draft(Workshop::embedded(), &order).expect("a proven pattern");
    let search = Search {
        effort: Effort::Rounds(1),
        ..Search::default()
    };
    let lays = job::lay(&order, &drafted.pattern, &search).expect("a lay");
    let on = |threads: usize, what: &str, run: &(dyn Fn() + Sync)| {
        let pool = rayon::ThreadPoolBuilder::new()
            .num_threads(threads)
            .build()
            .expect("threads");
        let timed = || {
            let begun = Instant::now();
            pool.install(run);
            1e3 * begun.elapsed().as_secs_f64()
        };
        let best = (0..10).map(|_| timed()).fold(f64::INFINITY, f64::min);
        println!("{what}, {threads} threads: {best:.1} ms");
    };
    let cloth = || InCloth::new(&order, &drafted.drafts, &drafted.pattern, &lays).expect("a cloth");
    on(1, "the cloth made ready", &|| drop(cloth()));
    let ready = cloth();
    on(1, "front of the jacket", &|| {
        drop(ready.view(0, Facing::Front, 0.2));
    });
    on(2, "all views of three garments", &|| {
        drop(views::of_order(&drafted.drafts, Some(&ready)));
    });
}

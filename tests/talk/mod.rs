//! The talk: its page asked over the network as a browser asks, and in a real browser.

mod answers;
mod browser;
mod client;
mod full;
mod hostile;
mod killed;
mod long;
mod random;
mod served;
mod webdriver;

//! The talk: its page asked over the network as a browser asks, and in a real browser.

mod browser;
mod client;
mod hostile;
mod killed;
mod served;
mod webdriver;

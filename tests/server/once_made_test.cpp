// A reply that takes long is made once for all who ask, and anew when something was written.
#include "server/once_made.hpp"

#include <atomic>
#include <stdexcept>
#include <thread>
#include <vector>

#include <gtest/gtest.h>

namespace oddgrist::server {
namespace {

Reply saying(const std::string& text) { return Reply{200, "text/plain", text, {}}; }

TEST(OnceMade, OnceForAllWhoAskAtTheSameMoment) {
  OnceMade made(4);
  std::atomic<int> times{0}, right{0};
  std::vector<std::thread> askers;
  for (int i = 0; i < 16; ++i) {
    askers.emplace_back([&] {
      const Reply reply = made.reply("harvest", 1, [&] {
        std::this_thread::sleep_for(std::chrono::milliseconds(20));
        return saying("made " + std::to_string(++times));
      });
      if (reply.body == "made 1") ++right;
    });
  }
  for (std::thread& asker : askers) asker.join();
  EXPECT_EQ(times, 1);
  EXPECT_EQ(right, 16);
}

TEST(OnceMade, AnewForAnotherVersionOrName) {
  OnceMade made(2);
  EXPECT_EQ(made.reply("a", 1, [] { return saying("one"); }).body, "one");
  EXPECT_EQ(made.reply("a", 1, [] { return saying("never"); }).body, "one");
  EXPECT_EQ(made.reply("a", 2, [] { return saying("two"); }).body, "two");
  EXPECT_EQ(made.reply("b", 2, [] { return saying("other"); }).body, "other");
  EXPECT_EQ(made.reply("a", 2, [] { return saying("never"); }).body, "two");
  // b was used longest ago and goes.
  EXPECT_EQ(made.reply("c", 1, [] { return saying("third"); }).body, "third");
  EXPECT_EQ(made.reply("b", 2, [] { return saying("again"); }).body, "again");
}

TEST(OnceMade, WhatFailedIsTriedAgain) {
  OnceMade made(2);
  EXPECT_THROW((void)made.reply("a", 1, []() -> Reply { throw std::runtime_error("no"); }), std::runtime_error);
  EXPECT_EQ(made.reply("a", 1, [] { return saying("yes"); }).body, "yes");
}

}  // namespace
}  // namespace oddgrist::server

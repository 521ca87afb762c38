// The threads of the server: never more at work than allowed, a listener's place is taken by another, all joined in the end.
#include "server/workers.hpp"

#include <atomic>
#include <chrono>
#include <latch>
#include <semaphore>

#include <gtest/gtest.h>

namespace oddgrist::server {
namespace {

using namespace std::chrono_literals;

TEST(Workers, DoEveryJobWithNoMoreThreadsThanAllowed) {
  std::atomic<int> done{0}, at_once{0}, most_at_once{0};
  Workers workers(3);
  EXPECT_EQ(workers.threads(), 0U) << "nothing to do yet";
  for (int i = 0; i < 500; ++i) {
    workers.add([&] {
      const int now = ++at_once;
      int most = most_at_once;
      while (now > most && !most_at_once.compare_exchange_weak(most, now)) {
      }
      std::this_thread::sleep_for(100us);
      --at_once;
      ++done;
    });
  }
  workers.end();
  EXPECT_EQ(done, 500);
  EXPECT_LE(most_at_once, 3);
  EXPECT_GT(most_at_once, 1);
  EXPECT_EQ(workers.threads(), 0U);
}

TEST(Workers, WhoStepsAsideHoldsUpNobody) {
  constexpr int listeners = 20;
  std::latch listening(listeners);
  std::counting_semaphore<> let_go(0);
  std::atomic<bool> answered{false};
  Workers workers(2);
  for (int i = 0; i < listeners; ++i) {
    workers.add([&] {
      workers.step_aside();
      listening.count_down();
      let_go.acquire();
      workers.step_back();
    });
  }
  listening.wait();
  std::latch answer(1);
  workers.add([&] {
    answered = true;
    answer.count_down();
  });
  answer.wait();
  EXPECT_TRUE(answered);
  EXPECT_LE(workers.threads(), listeners + 2U);
  // Back again, they are too many: only as many stay as may work.
  let_go.release(listeners);
  for (int tries = 0; tries < 1000 && workers.threads() > 2; ++tries) std::this_thread::sleep_for(5ms);
  EXPECT_LE(workers.threads(), 2U);
  std::latch again(1);
  workers.add([&] { again.count_down(); });
  again.wait();
}

TEST(Workers, AJobOfAThreadThatStepsAsideLateIsTakenByAnother) {
  std::latch waiting(1), next(1);
  std::counting_semaphore<> step(0), let_go(0);
  Workers workers(1);
  workers.add([&] {
    waiting.count_down();
    step.acquire();
    workers.step_aside();
    let_go.acquire();
    workers.step_back();
  });
  waiting.wait();
  // The only place is taken, so this has to wait until the first steps aside.
  workers.add([&] { next.count_down(); });
  std::this_thread::sleep_for(20ms);
  EXPECT_FALSE(next.try_wait());
  step.release();
  next.wait();
  let_go.release();
  workers.end();
}

}  // namespace
}  // namespace oddgrist::server

// `serve` that cannot start says why and ends with the documented code.
#include "program.hpp"

namespace oddgrist::test {
namespace {

ProgramRun serve(std::vector<std::string> arguments, const Scratch& scratch) {
  std::vector<std::string> all{"serve", "--port", "0", "--store", scratch / "store.db", "--state", scratch / "state"};
  all.insert(all.end(), arguments.begin(), arguments.end());
  return oddgrist(all);
}

void expect_refusal(const ProgramRun& run, int exit_code, const std::string& where, const std::string& what) {
  EXPECT_EQ(run.exit_code, exit_code) << run.err;
  EXPECT_EQ(run.out, "");
  EXPECT_NE(run.err.find(where), std::string::npos) << run.err;
  EXPECT_NE(run.err.find(what), std::string::npos) << run.err;
}

TEST(Serve, NeedsCertificateAndKeyTogether) {
  const Scratch scratch;
  expect_refusal(serve({"--cert", "LICENSE"}, scratch), 2, "--cert", "belong together");
  expect_refusal(serve({"--key", "LICENSE"}, scratch), 2, "--key", "belong together");
}

TEST(Serve, SaysWhichFileIsWrong) {
  const Scratch scratch;
  const std::string missing = scratch / "none.pem";
  expect_refusal(serve({"--cert", missing, "--key", "LICENSE"}, scratch), 66, missing, "cannot be opened");
  expect_refusal(serve({"--cert", "LICENSE", "--key", missing}, scratch), 66, missing, "cannot be opened");
  expect_refusal(serve({"--cert", "LICENSE", "--key", "LICENSE"}, scratch), 65, "LICENSE", "no certificate");
}

}  // namespace
}  // namespace oddgrist::test

// What the page is made of, and whose it is.
#include "server/assets.hpp"

#include <fstream>

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

namespace oddgrist::server {
namespace {

TEST(Assets, NoticesNameEachPackageThatIsInThePage) {
  std::ifstream file(ODDGRIST_SOURCE_DIR "/web/package.json");
  const nlohmann::json page = nlohmann::json::parse(file);
  const Asset* notices = find_asset("/notices.txt");
  ASSERT_NE(notices, nullptr);
  EXPECT_EQ(notices->content_type, "text/plain; charset=utf-8");
  ASSERT_FALSE(page.at("dependencies").empty());
  for (const auto& [name, version] : page.at("dependencies").items()) {
    EXPECT_NE(notices->plain.find(name + " " + version.get<std::string>()), std::string_view::npos) << name;
  }
  EXPECT_NE(notices->plain.find("Permission is hereby granted"), std::string_view::npos);
}

TEST(Assets, EachHasATypeThatABrowserKnows) {
  ASSERT_FALSE(assets().empty());
  for (const Asset& asset : assets()) EXPECT_NE(asset.content_type, "application/octet-stream") << asset.path;
}

}  // namespace
}  // namespace oddgrist::server

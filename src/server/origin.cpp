#include "server/origin.hpp"

#include <algorithm>

namespace oddgrist::server {
namespace {

std::string lower(std::string text) {
  for (char& c : text) {
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  }
  return text;
}

}  // namespace

OwnNames::OwnNames(std::string scheme, std::vector<std::string> names, int port) : scheme_(std::move(scheme)) {
  const int usual = scheme_ == "https" ? 443 : 80;
  for (const std::string& name : names) {
    hosts_.push_back(lower(name) + ':' + std::to_string(port));
    if (port == usual) hosts_.push_back(lower(name));
  }
}

OriginVerdict OwnNames::judge(const OriginHeaders& headers, bool api) const {
  const std::string host = lower(headers.host);
  if (std::find(hosts_.begin(), hosts_.end(), host) == hosts_.end()) return OriginVerdict::wrong_host;
  if (!headers.origin.empty() && lower(headers.origin) != scheme_ + "://" + host) return OriginVerdict::foreign;
  // Programs that are no browser send neither header and have no page of another site in them.
  const std::string& site = headers.sec_fetch_site;
  if (api && !site.empty() && site != "same-origin" && site != "none") return OriginVerdict::foreign;
  return OriginVerdict::ours;
}

}  // namespace oddgrist::server

// Who may talk to the server through a browser. A page of another site must neither read nor write here, under whatever name it makes the
// browser call us (DNS rebinding): the Host header must be one of our own, and an Origin must be our own page's.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace oddgrist::server {

struct OriginHeaders {
  std::string host;            // Host
  std::string origin;          // Origin; empty: none
  std::string sec_fetch_site;  // Sec-Fetch-Site; empty: none
};

enum class OriginVerdict { ours, wrong_host, foreign };

class OwnNames {
 public:
  // names: hosts without a port, "127.0.0.1", "localhost", "brewhouse.local".
  OwnNames(std::string scheme, std::vector<std::string> names, int port);
  // `api`: the request is for data, not for the page itself, which a link elsewhere may open.
  [[nodiscard]] OriginVerdict judge(const OriginHeaders& headers, bool api) const;

 private:
  std::string scheme_;              // "http"
  std::vector<std::string> hosts_;  // as a Host header has them
};

}  // namespace oddgrist::server

#include "server/addresses.hpp"

#include <arpa/inet.h>
#include <ifaddrs.h>
#include <net/if.h>
#include <netinet/in.h>
#include <qrencode.h>
#include <unistd.h>

#include <array>
#include <memory>

namespace oddgrist::server {
namespace {

constexpr int quiet_zone = 2;  // half of what ISO/IEC 18004 asks for; a terminal's own margin does the rest

bool is_dark(const QRcode& code, int x, int y) {
  if (x < 0 || y < 0 || x >= code.width || y >= code.width) return false;
  return (code.data[y * code.width + x] & 1) != 0;
}

}  // namespace

std::vector<std::string> lan_addresses() {
  std::vector<std::string> found;
  ifaddrs* first = nullptr;
  if (::getifaddrs(&first) != 0) return found;
  const std::unique_ptr<ifaddrs, void (*)(ifaddrs*)> list(first, ::freeifaddrs);
  for (const ifaddrs* entry = first; entry != nullptr; entry = entry->ifa_next) {
    if (entry->ifa_addr == nullptr || entry->ifa_addr->sa_family != AF_INET) continue;
    if ((entry->ifa_flags & IFF_LOOPBACK) != 0 || (entry->ifa_flags & IFF_UP) == 0) continue;
    std::array<char, INET_ADDRSTRLEN> text{};
    const auto* address = reinterpret_cast<const sockaddr_in*>(entry->ifa_addr);
    if (::inet_ntop(AF_INET, &address->sin_addr, text.data(), text.size()) != nullptr) found.emplace_back(text.data());
  }
  return found;
}

std::vector<std::string> own_host_names() {
  std::array<char, 256> name{};
  if (::gethostname(name.data(), name.size() - 1) != 0 || name[0] == '\0') return {};
  return {std::string(name.data()), std::string(name.data()) + ".local"};
}

std::string qr_text(const std::string& content) {
  const std::unique_ptr<QRcode, void (*)(QRcode*)> code(QRcode_encodeString8bit(content.c_str(), 0, QR_ECLEVEL_L),
                                                        QRcode_free);
  if (code == nullptr) return {};
  std::string text;
  for (int y = -quiet_zone; y < code->width + quiet_zone; y += 2) {
    // Black on white, and the colours as they were at the end of the line.
    text += "\033[30;107m";
    for (int x = -quiet_zone; x < code->width + quiet_zone; ++x) {
      const bool upper = is_dark(*code, x, y), lower = is_dark(*code, x, y + 1);
      text += upper && lower ? "█" : upper ? "▀" : lower ? "▄" : " ";
    }
    text += "\033[0m\n";
  }
  return text;
}

}  // namespace oddgrist::server

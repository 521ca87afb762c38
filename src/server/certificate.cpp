#include "server/certificate.hpp"

#include <openssl/err.h>
#include <openssl/ssl.h>

#include <cerrno>
#include <filesystem>
#include <fstream>
#include <memory>
#include <system_error>

#include <fmt/format.h>

namespace oddgrist::server {
namespace {

using files::Problem;
using files::Trouble;

Problem problem_of(const std::string& path, std::string what, std::string remedy, Trouble trouble) {
  return Problem{{path, 0, 0}, "", std::move(what), std::move(remedy), trouble};
}

std::optional<Problem> cannot_open(const std::string& path, const std::string& option) {
  std::error_code error;
  if (std::filesystem::is_directory(path, error)) {
    return problem_of(path, "this is a folder", fmt::format("Give {} a PEM file", option), Trouble::cannot_open);
  }
  errno = 0;
  if (std::ifstream(path).is_open()) return std::nullopt;
  return problem_of(path, fmt::format("it cannot be opened: {}", std::generic_category().message(errno)),
                    fmt::format("Give {} a PEM file that you may read", option), Trouble::cannot_open);
}

// OpenSSL would ask on the terminal, where nobody may sit.
int no_pass_phrase(char*, int, int, void* was_asked) {
  *static_cast<bool*>(was_asked) = true;
  return -1;
}

// A key that does not belong is told from one that is none at all by asking of the key alone.
bool is_a_key(const std::string& path) {
  const std::unique_ptr<SSL_CTX, decltype(&SSL_CTX_free)> alone(SSL_CTX_new(TLS_server_method()), SSL_CTX_free);
  return alone && SSL_CTX_use_PrivateKey_file(alone.get(), path.c_str(), SSL_FILETYPE_PEM) == 1;
}

}  // namespace

std::optional<Problem> problem_with_certificate(const std::string& certificate_path, const std::string& key_path) {
  if (auto problem = cannot_open(certificate_path, "--cert")) return problem;
  if (auto problem = cannot_open(key_path, "--key")) return problem;
  const std::unique_ptr<SSL_CTX, decltype(&SSL_CTX_free)> context(SSL_CTX_new(TLS_server_method()), SSL_CTX_free);
  if (!context) {
    return problem_of(certificate_path, "OpenSSL could not be started", "Serve plain http, without --cert and --key",
                      Trouble::bad_content);
  }
  bool was_asked = false;
  SSL_CTX_set_default_passwd_cb(context.get(), no_pass_phrase);
  SSL_CTX_set_default_passwd_cb_userdata(context.get(), &was_asked);
  std::optional<Problem> problem;
  if (SSL_CTX_use_certificate_chain_file(context.get(), certificate_path.c_str()) != 1) {
    problem = problem_of(certificate_path, "there is no certificate in it that can be read",
                         "Give --cert a PEM file: your certificate first, then those that vouch for it",
                         Trouble::bad_content);
  } else if (SSL_CTX_use_PrivateKey_file(context.get(), key_path.c_str(), SSL_FILETYPE_PEM) != 1) {
    if (was_asked) {
      problem = problem_of(key_path, "the key is locked with a pass phrase",
                           fmt::format("Make an unlocked copy that only you may read: "
                                       "(umask 077; openssl pkey -in {} -out unlocked.pem)",
                                       key_path),
                           Trouble::bad_content);
    } else if (is_a_key(key_path)) {
      problem = problem_of(key_path, fmt::format("this is not the key of the certificate in {}", certificate_path),
                           "Give --key the private key that the certificate was made with", Trouble::bad_content);
    } else {
      problem = problem_of(key_path, "there is no private key in it that can be read",
                           "Give --key the private key of the certificate, as a PEM file", Trouble::bad_content);
    }
  }
  ERR_clear_error();
  return problem;
}

}  // namespace oddgrist::server

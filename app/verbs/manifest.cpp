#include "app/verbs/manifest.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <nlohmann/json.hpp>
#include <span>
#include <string_view>
#include <utility>

#include "core/foundation/text.h"
#include "core/recording/file_bytes.h"
#include "core/recording/text_calendar.h"

namespace beatwitness::verbs {
namespace {

using Json = nlohmann::json;
using library::Role;
using library::WearingOutcome;

constexpr std::string_view schema = "beatwitness.manifest/1";

/// Reads one manifest. The first thing that cannot be stays as the fault; what is read after it is of no use.
class Reader {
public:
    explicit Reader(std::filesystem::path path) : path_{std::move(path)} {}

    [[nodiscard]] Result<Manifest> read() {
        auto bytes = recording::fileBytes(path_);
        if (!bytes) return unread(bytes.fault());
        const auto* letters = reinterpret_cast<const char*>(bytes->data());
        try {
            readRoot(Json::parse(letters, letters + bytes->size()));
        } catch (const Json::parse_error& error) {
            return Fault{FaultCode::Damaged,
                         "this is not JSON from here on; a manifest was expected",
                         path_.string(),
                         error.byte == 0 ? 0 : error.byte - 1,
                         {}};
        }
        if (fault_) return *fault_;
        return std::move(manifest_);
    }

private:
    /// fileBytes() speaks of recordings.
    static Fault unread(Fault fault) {
        if (fault.code == FaultCode::NotFound)
            fault.message = "there is no such file; a manifest was expected";
        if (fault.code == FaultCode::NotAFile)
            fault.message = "this is a folder or a device; a manifest was expected";
        if (fault.code == FaultCode::Empty) fault.message = "the file is empty; a manifest was expected";
        return fault;
    }

    void fail(const std::string& place, std::string_view expected) {
        if (fault_) return;
        fault_ = Fault{FaultCode::Damaged, fmt::format("{}: {}", place, expected), path_.string(), {}, {}};
    }

    /// False, and a fault, where `object` is none; keys that mean nothing are told.
    bool isObject(const Json& object, const std::string& place, std::span<const std::string_view> keys) {
        if (!object.is_object()) {
            fail(place, "an object was expected");
            return false;
        }
        for (const auto& [key, value] : object.items())
            if (std::ranges::find(keys, key) == keys.end())
                manifest_.warnings.push_back(
                    fmt::format("{}: {} has the key \"{}\", which means nothing here", path_.string(), place,
                                printable(key)));
        return true;
    }

    std::string text(const Json& object, const std::string& place, const char* key) {
        const auto found = object.find(key);
        if (found == object.end() || found->is_null()) return {};
        if (found->is_string()) return found->get<std::string>();
        fail(fmt::format("{}.{}", place, key), "a text was expected");
        return {};
    }

    std::string neededText(const Json& object, const std::string& place, const char* key) {
        auto found = text(object, place, key);
        if (found.empty()) fail(fmt::format("{}.{}", place, key), "a text was expected, nothing was found");
        return found;
    }

    /// The items of a list, each with its place.
    template <class Take>
    void forEach(const Json& object, const std::string& place, const char* key, Take take) {
        const auto found = object.find(key);
        if (found == object.end() || found->is_null()) return;
        if (!found->is_array()) return fail(place, "a list was expected");
        for (std::size_t i = 0; i < found->size(); ++i)
            take((*found)[i], fmt::format("{}[{}]", place, i));
    }

    void readRoot(const Json& root) {
        constexpr std::array<std::string_view, 3> keys{"schema", "project", "sessions"};
        if (!isObject(root, "the manifest", keys)) return;
        const auto said = text(root, "the manifest", "schema");
        if (!said.empty() && said != schema)
            return fail("schema",
                        fmt::format("\"{}\" was expected, \"{}\" was found", schema, printable(said)));
        manifest_.project = text(root, "the manifest", "project");
        forEach(root, "sessions", "sessions",
                [this](const Json& session, const std::string& place) { readSession(session, place); });
        if (manifest_.sessions.empty()) fail("sessions", "at least one session was expected");
    }

    void readSession(const Json& object, const std::string& place) {
        constexpr std::array<std::string_view, 5> keys{"name", "activity", "wearer", "note", "wearings"};
        if (!isObject(object, place, keys)) return;
        PlannedSession session;
        session.draft.name = neededText(object, place, "name");
        session.draft.activity = text(object, place, "activity");
        session.draft.wearer = text(object, place, "wearer");
        session.draft.note = text(object, place, "note");
        forEach(object, place + ".wearings", "wearings", [&](const Json& wearing, const std::string& at) {
            session.wearings.push_back(readWearing(wearing, at));
        });
        manifest_.sessions.push_back(std::move(session));
    }

    PlannedWearing readWearing(const Json& object, const std::string& place) {
        constexpr std::array<std::string_view, 13> keys{"role", "device",   "unit",     "file", "files",
                                                        "span", "firmware", "position", "side", "tightness",
                                                        "mode", "outcome",  "reason"};
        PlannedWearing wearing;
        if (!isObject(object, place, keys)) return wearing;
        wearing.draft.role = readRole(object, place);
        wearing.draft.device = neededText(object, place, "device");
        wearing.draft.facts = {text(object, place, "unit"),      text(object, place, "firmware"),
                               text(object, place, "position"),  text(object, place, "side"),
                               text(object, place, "tightness"), text(object, place, "mode")};
        wearing.draft.reason = text(object, place, "reason");
        wearing.files = readFiles(object, place);
        wearing.draft.outcome = readOutcome(object, place, !wearing.files.empty());
        wearing.span = readSpan(object, place);
        return wearing;
    }

    Role readRole(const Json& object, const std::string& place) {
        const auto role = neededText(object, place, "role");
        if (role == "reference") return Role::Reference;
        if (role == "context") return Role::Context;
        if (role != "test")
            fail(place + ".role",
                 fmt::format("reference, test or context was expected, \"{}\" was found", printable(role)));
        return Role::Test;
    }

    /// Without a file nothing was recorded.
    WearingOutcome readOutcome(const Json& object, const std::string& place, bool hasFiles) {
        const auto outcome = text(object, place, "outcome");
        if (outcome.empty()) return hasFiles ? WearingOutcome::Recorded : WearingOutcome::Failed;
        if (outcome == "failed") return WearingOutcome::Failed;
        if (outcome != "recorded")
            fail(place + ".outcome",
                 fmt::format("recorded or failed was expected, \"{}\" was found", printable(outcome)));
        else if (!hasFiles)
            fail(place + ".outcome",
                 "it is said to have recorded, but there is no file; a file, or the outcome \"failed\", was "
                 "expected");
        return WearingOutcome::Recorded;
    }

    std::vector<std::string> readFiles(const Json& object, const std::string& place) {
        std::vector<std::string> files;
        if (const auto file = text(object, place, "file"); !file.empty()) files.push_back(resolved(file));
        forEach(object, place + ".files", "files", [&](const Json& file, const std::string& at) {
            if (file.is_string() && !file.get_ref<const std::string&>().empty())
                files.push_back(resolved(file.get<std::string>()));
            else
                fail(at, "the path of a file was expected");
        });
        return files;
    }

    [[nodiscard]] std::string resolved(const std::string& file) const {
        return (path_.parent_path() / file).string();  // an absolute path stands as it is
    }

    std::optional<Span<RecordingClock>> readSpan(const Json& object, const std::string& place) {
        const auto found = object.find("span");
        if (found == object.end() || found->is_null()) return std::nullopt;
        constexpr std::array<std::string_view, 2> keys{"start", "end"};
        const auto at = place + ".span";
        if (!isObject(*found, at, keys)) return std::nullopt;
        const Span<RecordingClock> span{readInstant(*found, at, "start", RecordingTime::min()),
                                        readInstant(*found, at, "end", RecordingTime::max())};
        if (span.end < span.begin) fail(at, "it ends before it begins");
        return span;
    }

    RecordingTime readInstant(const Json& object, const std::string& place, const char* key,
                              RecordingTime otherwise) {
        const auto written = text(object, place, key);
        if (written.empty()) return otherwise;
        const auto calendar = recording::text::parseCalendar(written);
        const auto midnight =
            calendar && calendar->date == recording::text::CalendarText::Date::YearFirst &&
                    calendar->clockFields > 0 && calendar->zone_min
                ? recording::text::midnightOf(*calendar, recording::text::DateOrder::DayFirst)
                : std::nullopt;
        if (!midnight) {
            fail(fmt::format("{}.{}", place, key),
                 fmt::format("an instant such as 2031-03-02T09:00:00Z was expected, \"{}\" was found",
                             printable(written)));
            return otherwise;
        }
        return RecordingTime{*midnight + calendar->timeOfDay() - std::chrono::minutes{*calendar->zone_min}};
    }

    std::filesystem::path path_;
    Manifest manifest_;
    std::optional<Fault> fault_;
};

}  // namespace

Result<Manifest> readManifest(const std::filesystem::path& path) {
    return Reader{path}.read();
}

}  // namespace beatwitness::verbs

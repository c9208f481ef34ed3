#include "app/verbs/criteria_file.h"

#include <fmt/format.h>

#include <nlohmann/json.hpp>
#include <string>

#include "core/agreement/planning.h"
#include "core/foundation/text.h"
#include "core/recording/file_bytes.h"
#include "core/recording/text_calendar.h"

namespace beatwitness::verbs {
namespace {

using agreement::Criterion;
using agreement::Sense;
using Json = nlohmann::json;

constexpr std::string_view schema = "beatwitness.criteria/1";

std::optional<Micros> instantOf(const std::string& text) {
    using namespace recording::text;
    const auto calendar = parseCalendar(text);
    if (!calendar || calendar->date != CalendarText::Date::YearFirst || !calendar->zone_min)
        return std::nullopt;
    const auto midnight = midnightOf(*calendar, DateOrder::DayFirst);
    if (!midnight) return std::nullopt;
    return *midnight + calendar->timeOfDay() - std::chrono::minutes{*calendar->zone_min};
}

/// Reads one criterion after the other; the first thing that cannot be stays as the sentence.
class Reader {
public:
    [[nodiscard]] const std::optional<std::string>& wrong() const { return wrong_; }

    std::vector<Criterion> all(const Json& root) {
        std::vector<Criterion> criteria;
        if (!root.is_object() || root.value("schema", Json{}) != schema)
            fail(fmt::format("an object with the schema \"{}\" was expected", schema));
        else if (!root.contains("criteria") || !root["criteria"].is_array())
            fail("a list under \"criteria\" was expected");
        else
            for (std::size_t i = 0; i < root["criteria"].size() && !wrong_; ++i)
                criteria.push_back(one(root["criteria"][i], fmt::format("criteria[{}]", i)));
        return criteria;
    }

private:
    void fail(std::string sentence) {
        if (!wrong_) wrong_ = std::move(sentence);
    }

    std::string word(const Json& object, const std::string& place, const char* key) {
        if (!object.contains(key) || object[key].is_null()) return {};
        if (object[key].is_string()) return object[key].get<std::string>();
        fail(fmt::format("{}: text was expected under \"{}\"", place, key));
        return {};
    }

    double number(const Json& object, const std::string& place, const char* key,
                  std::optional<double> otherwise) {
        if (object.contains(key) && object[key].is_number()) return object[key].get<double>();
        if (object.contains(key) || !otherwise)
            fail(fmt::format("{}: a number was expected under \"{}\"", place, key));
        return otherwise.value_or(0);
    }

    Criterion one(const Json& object, const std::string& place) {
        Criterion criterion;
        if (!object.is_object()) {
            fail(place + ": an object was expected");
            return criterion;
        }
        const auto metric = word(object, place, "metric"), sense = word(object, place, "sense"),
                   setAt = word(object, place, "set_at");
        const auto* facts = agreement::metricOfKey(metric);
        if (facts == nullptr) {
            fail(fmt::format("{}: a metric such as \"mape_pct\" was expected, found \"{}\"", place,
                             printable(metric)));
            return criterion;
        }
        const auto found =
            sense.empty() ? std::optional{agreement::usualSense(*facts)} : agreement::senseOf(sense);
        if (!found)
            fail(fmt::format(
                "{}: the sense \"at most\", \"at least\" or \"within\" was expected, found \"{}\"", place,
                printable(sense)));
        criterion.metric = facts->metric;
        criterion.sense = found.value_or(Sense::AtMost);
        criterion.limit = number(object, place, "limit", std::nullopt);
        criterion.confidence = number(object, place, "confidence", 0.95);
        criterion.device = word(object, place, "device");
        criterion.activity = word(object, place, "activity");
        criterion.setAt = instantOf(setAt);
        if (!setAt.empty() && !criterion.setAt)
            fail(
                fmt::format("{}: an ISO instant such as 2031-03-02T09:00:00Z was expected under \"set_at\", "
                            "found \"{}\"",
                            place, printable(setAt)));
        if (const auto nonsense = agreement::wrongWith(criterion))
            fail(fmt::format("{}: {}", place, *nonsense));
        return criterion;
    }

    std::optional<std::string> wrong_;
};

}  // namespace

Result<std::vector<Criterion>> readCriteria(const std::filesystem::path& path) {
    const auto bytes = recording::fileBytes(path);
    if (!bytes) {
        Fault fault = bytes.fault();
        if (fault.code == FaultCode::NotFound)
            fault.message = "there is no such file; criteria were expected";
        return fault;
    }
    const auto* letters = reinterpret_cast<const char*>(bytes->data());
    const auto root = Json::parse(letters, letters + bytes->size(), nullptr, false);
    if (root.is_discarded())
        return Fault{FaultCode::Damaged, "this is not JSON; criteria were expected", path.string(), {}, {}};
    Reader reader;
    auto criteria = reader.all(root);
    if (reader.wrong()) return Fault{FaultCode::Damaged, *reader.wrong(), path.string(), {}, {}};
    return criteria;
}

}  // namespace beatwitness::verbs

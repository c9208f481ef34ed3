#include "app/windows/offsets_dialog.h"

#include <QDialogButtonBox>
#include <QHeaderView>
#include <QLabel>
#include <QTabWidget>
#include <QTableWidget>
#include <QVBoxLayout>
#include <algorithm>

#include "core/evaluation/outcomes.h"
#include "widgets/background/progress_strip.h"
#include "widgets/figures/scene_view.h"
#include "widgets/format/number_text.h"
#include "widgets/inputs/labels.h"

namespace beatwitness::app {

using namespace library;

OffsetsDialog::OffsetsDialog(LibraryDocument& library, ProjectId project, QWidget* parent)
    : QDialog(parent),
      library_(library),
      words_(widgets::makeBody(tr("Reading the sessions …"), this)),
      view_(new widgets::SceneView(this)),
      table_(new QTableWidget(0, 4, this)) {
    setObjectName(QStringLiteral("offsetsDialog"));
    setWindowTitle(tr("Clock Offsets over Sessions"));
    resize(fontMetrics().averageCharWidth() * 130, fontMetrics().height() * 38);
    table_->setAccessibleName(windowTitle());
    table_->setHorizontalHeaderLabels(
        {tr("Session"), tr("Device"), tr("Offset, s"), tr("of which half hours")});
    table_->verticalHeader()->hide();
    table_->setEditTriggers(QAbstractItemView::NoEditTriggers);
    table_->horizontalHeader()->setSectionResizeMode(0, QHeaderView::Stretch);
    auto* tabs = new QTabWidget(this);
    tabs->addTab(view_, tr("Picture"));
    tabs->addTab(table_, tr("Table"));
    auto* buttons = new QDialogButtonBox(QDialogButtonBox::Close, this);
    connect(buttons, &QDialogButtonBox::rejected, this, &QDialog::reject);
    auto* column = new QVBoxLayout(this);
    column->addWidget(words_);
    column->addWidget(new widgets::ProgressStrip(runner_, this));
    column->addWidget(tabs, 1);
    column->addWidget(buttons);
    runner_.run(
        tr("Working out the clock offsets …"),
        [path = library.path().toStdString(), project, devices = library.contents()->columnsOf(project)](
            const RunControl& run) { return read(path, project, devices, run); },
        [this](Result<Found> found) { show(std::move(found)); });
}

Result<OffsetsDialog::Found> OffsetsDialog::read(const std::string& path, ProjectId project,
                                                 const std::vector<DeviceId>& devices,
                                                 const RunControl& run) {
    auto reader = Library::open(path, {.write = false});
    if (!reader) return reader.fault();
    auto kept = evaluation::KeptOutcomes::of(*reader, project, true);
    if (!kept) return kept.fault();
    Found found;
    const auto filled = evaluation::fillOutcomes(
        *reader, project, true,
        [&](const std::vector<StoredOutcome>& outcomes) {
            for (const auto& outcome : outcomes) {
                kept->add(outcome);
                found.fresh.push_back(outcome);
            }
        },
        run);
    if (!filled) return filled.fault();
    const auto sessions = reader->sessionsOf(project);
    if (!sessions) return sessions.fault();
    for (const auto& session : *sessions)
        for (const auto* wearing : evaluation::scoredWearings(session)) {
            const auto place = std::ranges::find(devices, wearing->device);
            const auto* outcome = kept->find(session.id, wearing->id);
            if (place == devices.end() || outcome == nullptr || !outcome->hasHeartRate) continue;
            found.offsets.push_back({session.name, wearing->deviceLabel,
                                     static_cast<int>(place - devices.begin()),
                                     outcome->refused ? std::nullopt : std::optional{outcome->offset.value}});
        }
    return found;
}

void OffsetsDialog::show(Result<Found> found) {
    if (!found) {
        words_->setText(QString::fromStdString(sentence(found.fault())));
        return;
    }
    if (library_.canWrite()) library_.keepOutcomes(found->fresh);
    words_->setText(
        found->offsets.empty()
            ? tr("No session of this project has a device to align with its reference.")
            : tr("An error of a clock jumps about from session to session; a delay of the device's own "
                 "stays. "
                 "Whole half hours, as of a wrong time zone, are taken off and named at the right."));
    view_->setScene(report::offsetsScene(found->offsets, {}));
    fillTable(found->offsets);
}

void OffsetsDialog::fillTable(const std::vector<report::SessionOffset>& offsets) {
    table_->setRowCount(static_cast<int>(offsets.size()));
    for (int row = 0; row < table_->rowCount(); ++row) {
        const auto& offset = offsets[static_cast<std::size_t>(row)];
        const auto hours = offset.offset_s ? report::splitOffset(*offset.offset_s).halfHours_s / 3600 : 0.0;
        const QString words[] = {
            QString::fromStdString(offset.session), QString::fromStdString(offset.device),
            offset.offset_s ? widgets::signedText(*offset.offset_s, 2) : tr("not aligned"),
            hours == 0 ? QString() : tr("%1 h").arg(widgets::signedText(hours, 1))};
        for (int column = 0; column < 4; ++column) {
            auto* item = new QTableWidgetItem(words[column]);
            if (column > 1) item->setTextAlignment(Qt::AlignRight | Qt::AlignVCenter);
            table_->setItem(row, column, item);
        }
    }
}

}  // namespace beatwitness::app

#pragma once

#include <QDialog>

#include "widgets/figures/motion_export.h"

class QCheckBox;
class QComboBox;
class QDoubleSpinBox;
class QLabel;
class QLineEdit;

namespace beatwitness::app {

/// Where all figures go, and in which formats.
class ExportAllDialog : public QDialog {
    Q_OBJECT

public:
    ExportAllDialog(int figures, const QString& folder, QWidget* parent);

    [[nodiscard]] QString folder() const;
    /// "png", "svg", "pdf".
    [[nodiscard]] QStringList endings() const;

private:
    void refresh();
    QLineEdit* folder_;
    QList<QCheckBox*> formats_;
    QWidget* accept_ = nullptr;
};

/// How a figure moves, and as what it comes out.
class FilmDialog : public QDialog {
    Q_OBJECT

public:
    /// `film`: for what its size and transparency allow; its options are where the fields start.
    FilmDialog(widgets::Film film, QWidget* parent);

    [[nodiscard]] widgets::MotionOptions options() const;
    /// "png", "mp4", "mov", "webm".
    [[nodiscard]] QString ending() const;

private:
    void refresh();
    widgets::Film film_;
    QComboBox *format_, *rate_, *style_;
    QDoubleSpinBox* length_;
    QLabel* words_;
    QWidget* accept_ = nullptr;
};

}  // namespace beatwitness::app
